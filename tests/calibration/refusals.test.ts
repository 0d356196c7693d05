import { describe, expect, it } from "vitest";
import { standardAddition } from "../../toolkit/calibration/addition/standard-addition.js";
import { chooseCalibration } from "../../toolkit/calibration/choice/choose-calibration.js";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { fiellerInterval } from "../../toolkit/calibration/curve/fieller.js";
import { fitTests } from "../../toolkit/calibration/curve/fit-tests.js";
import { validateLinearRange } from "../../toolkit/calibration/range/linear-range.js";
import type { CalibrateOptions, StandardReading } from "../../toolkit/calibration/response/types.js";
import { dixonCritical } from "../../toolkit/calibration/tests-of-fit/dixon-distribution.js";
import { grubbsCritical } from "../../toolkit/calibration/tests-of-fit/outlier-tests.js";
import { cochranCritical } from "../../toolkit/calibration/tests-of-fit/variance-homogeneity.js";
import { slopeAgainstTheory } from "../../toolkit/calibration/theory/slope-check.js";
import { IonbookError } from "../../toolkit/errors.js";
import { limitLadder } from "../../toolkit/limits/limit-ladder.js";
import { limitsInForce } from "../../toolkit/limits/limits-in-force.js";
import { codeOf, pointsOf } from "./published.js";

const good = pointsOf([0.1, 0.5, 2, 5, 10], [0.024, 0.122, 0.487, 1.22, 2.45]);
const of = (x: readonly number[], y: readonly number[]) => pointsOf(x, y);

interface Refusal {
  readonly what: string;
  readonly code: string;
  readonly points?: readonly StandardReading[];
  readonly options?: unknown;
}

const refusals: readonly Refusal[] = [
  { what: "no standards", code: "too-few-points", points: [] },
  { what: "two standards for a line", code: "too-few-points", points: of([1, 2], [1, 2]) },
  { what: "one level for a line", code: "too-few-levels", points: of([1, 1, 1], [1, 1.1, 0.9]) },
  {
    what: "two levels for a parabola",
    code: "too-few-levels",
    points: of([1, 1, 2, 2], [1, 1.1, 2, 2.1]),
    options: { model: "quadratic" },
  },
  {
    what: "only blanks through zero",
    code: "too-few-levels",
    points: of([0, 0, 0], [0.1, 0.2, 0.1]),
    options: { model: "through-zero" },
  },
  { what: "a falling line", code: "falling-line", points: of([1, 2, 3], [3, 2, 1.1]) },
  {
    what: "a falling line through zero",
    code: "falling-line",
    points: of([1, 2, 3], [-1, -2, -3.1]),
    options: { model: "through-zero" },
  },
  {
    what: "falling responses of a weak acid",
    code: "falling-line",
    points: of([1, 2, 3, 4], [4, 3, 2, 1]),
    options: { model: "weak" },
  },
  {
    what: "a falling parabola",
    code: "falling-line",
    points: of([1, 2, 3, 4], [4, 3.1, 2, 0.8]),
    options: { model: "quadratic" },
  },
  { what: "a missing response", code: "not-a-number", points: of([1, 2, 3], [1, Number.NaN, 3]) },
  { what: "a negative standard", code: "negative-concentration", points: of([-1, 2, 3], [1, 2, 3]) },
  {
    what: "a negative uncertainty",
    code: "negative-uncertainty",
    points: [{ concentration: 1, response: 1, u: -0.1 }, ...of([2, 3], [2, 3.1])],
  },
  { what: "an unknown model", code: "unknown-model", options: { model: "cubic" } },
  { what: "a model name of the language's own", code: "unknown-model", options: { model: "toString" } },
  { what: "an unknown weighting", code: "unknown-weighting", options: { weighting: "1/y" } },
  { what: "an unknown ion", code: "unknown-ion", options: { ion: "chlorine-ish" } },
  { what: "a weight too few", code: "weights-mismatch", options: { weighting: [1, 1] } },
  { what: "a weight of zero", code: "bad-weight", options: { weighting: [1, 1, 0, 1, 1] } },
  {
    what: "a variance too few",
    code: "variances-mismatch",
    options: { covarianceFrom: { responseVariances: [1] } },
  },
  {
    what: "a variance of zero",
    code: "bad-variance",
    options: { covarianceFrom: { responseVariances: [1, 1, 1, 1, 0] } },
  },
  {
    what: "a negative trust",
    code: "bad-variance",
    options: { covarianceFrom: { responseVariances: [1, 1, 1, 1, 1], priorDof: -1 } },
  },
];

describe("calibrate refuses", () => {
  it.each(refusals)("$what: $code", ({ code, points = good, options = {} }) => {
    expect(codeOf(() => calibrate(points, options as CalibrateOptions))).toBe(code);
  });

  it("a zero level under 1/x weights, in words that mend it", () => {
    const points = [{ concentration: 0, response: 0, label: "level L0 (injection A002)" }, ...good];
    let error: unknown;
    try {
      calibrate(points, { weighting: "1/x^2" });
    } catch (caught) {
      error = caught;
    }
    expect(error).toBeInstanceOf(IonbookError);
    const { code, message } = error as IonbookError;
    expect(code).toBe("zero-level");
    expect(message).toBe(
      'weighting "1/x^2" needs every level above zero: level L0 (injection A002) is 0 mg/L. ' +
        'Leave it out or choose weighting "none".',
    );
    expect(codeOf(() => calibrate(of([0, 1, 2], [0, 1, 2.1]), { weighting: "1/x" }))).toBe("zero-level");
    expect(calibrate(points).coefficients[1]).toBeGreaterThan(0);
  });
});

describe("a curve refuses", () => {
  const line = calibrate(good);
  const dome = calibrate(of([0.5, 1, 2, 4, 6, 8], [0.52, 0.98, 1.85, 3.3, 4.3, 4.75]), {
    model: "quadratic",
  });

  it("a reading that is none", () => {
    expect(codeOf(() => line.concentration(Number.NaN))).toBe("not-a-number");
    expect(codeOf(() => line.concentration([]))).toBe("no-readings");
    expect(codeOf(() => line.concentration([1, Number.POSITIVE_INFINITY]))).toBe("not-a-number");
    expect(codeOf(() => line.concentration(1, { u: -1 }))).toBe("negative-uncertainty");
  });

  it("a response beyond the vertex of a parabola, and gives the rising branch below it", () => {
    expect(dome.coefficients[2]).toBeLessThan(0);
    expect(codeOf(() => dome.concentration(20))).toBe("no-inverse");
    const found = dome.concentration(3);
    expect(dome.respond(found.value)).toBeCloseTo(3, 10);
    expect(found.value).toBeGreaterThan(2);
    expect(found.value).toBeLessThan(5);
  });

  it("a value above the highest standard beyond its own uncertainty, unless it is asked for", () => {
    expect(codeOf(() => line.concentration(10))).toBe("beyond-range");
    expect(codeOf(() => line.interval(10))).toBe("beyond-range");
    expect(line.concentration(10, { beyondRange: "allow" }).value).toBeGreaterThan(40);
    // The highest standard itself may read a little higher.
    expect(line.concentration(2.6).value).toBeGreaterThan(10.5);
    expect(codeOf(() => line.concentration(2.8))).toBe("beyond-range");
    expect(codeOf(() => line.concentration(1, { beyondRange: "yes" } as never))).toBe("bad-option");
    expect(codeOf(() => line.concentration(1, { beyond: "allow" } as never))).toBe("unknown-option");
  });

  it("nothing below the intercept: noise about an absent peak stays symmetric", () => {
    expect(line.concentration(-0.05).value).toBeLessThan(0);
  });

  it("Fieller's interval for a bent curve or a slope that may be zero", () => {
    expect(codeOf(() => fiellerInterval(dome, 3))).toBe("not-linear");
    const noisy = calibrate(of([1, 2, 3], [1, 3, 1.5]));
    expect(codeOf(() => fiellerInterval(noisy, 2))).toBe("no-finite-interval");
    expect(codeOf(() => fiellerInterval(line, 1, { level: 1 }))).toBe("bad-level");
  });
});

describe("range studies and standard additions refuse", () => {
  it("critical values of no level, and of numbers of readings that have none", () => {
    const none = null as unknown as number;
    expect(codeOf(() => grubbsCritical(none, 5))).toBe("bad-level");
    expect(codeOf(() => cochranCritical(1, 5, 3))).toBe("bad-level");
    expect(codeOf(() => dixonCritical(0.05, 5.5))).toBe("not-a-number");
    expect(codeOf(() => grubbsCritical(0.05, 2))).toBe("too-few-readings");
    expect(codeOf(() => cochranCritical(0.05, 5, 1))).toBe("too-few-readings");
    expect(codeOf(() => dixonCritical(0.05, 31))).toBe("too-many-readings");
  });

  it("too few levels and falling responses", () => {
    expect(codeOf(() => validateLinearRange(of([1, 2, 3], [1, 2, 3.1])))).toBe("too-few-levels");
    expect(codeOf(() => validateLinearRange(of([1, 2, 3, 4], [4, 3, 2, 1])))).toBe("falling-line");
  });

  it("too few, negative, falling additions", () => {
    const additions = (added: readonly number[], responses: readonly number[]) => () =>
      standardAddition(added.map((a, i) => ({ added: a, response: responses[i] })));
    expect(codeOf(additions([0, 1], [1, 2]))).toBe("too-few-points");
    expect(codeOf(additions([0, -1, 2], [1, 2, 3]))).toBe("negative-concentration");
    expect(codeOf(additions([0, 1, 2], [3, 2, 1]))).toBe("falling-line");
    expect(codeOf(additions([0, 1, 2], [3, 2, Number.NaN]))).toBe("not-a-number");
  });
});

describe("a call without its material names itself", () => {
  it.each([
    ["calibrate", () => calibrate(undefined as never), "bad-points"],
    ["chooseCalibration", () => chooseCalibration(undefined as never), "bad-points"],
    ["slopeAgainstTheory", () => slopeAgainstTheory(undefined as never), "bad-points"],
    ["fitTests", () => fitTests(undefined as never), "bad-calibration"],
    ["limitsInForce", () => limitsInForce({} as never), "bad-calibration"],
    ["limitLadder", () => limitLadder({ calibration: 5 } as never), "bad-points"],
  ] as const)("%s", (name, call, code) => {
    expect(codeOf(call)).toBe(code);
    expect(call).toThrow(new RegExp(`^${name} needs `));
  });
});
