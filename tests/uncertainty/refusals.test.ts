import { describe, expect, test } from "vitest";
import { isIonbookError } from "../../toolkit/errors.js";
import {
  combineLinear,
  conciseForm,
  coverageFactor,
  exactly,
  fromCovariance,
  fromReadings,
  fromSimultaneousReadings,
  fromSources,
  measured,
  minus,
  monteCarlo,
  over,
  plus,
  propagate,
  propagateSecondOrder,
  readConciseForm,
  times,
  topDownUncertainty,
} from "../../toolkit/uncertainty/measured.js";

const mg = measured(10, "mg/L", { u: 0.1 });
const meq = measured(10, "meq/L", { u: 0.1 });
const zero = measured(0, "mg/L", { u: 0.1 });

// biome-ignore lint/suspicious/noExplicitAny: misuse that the compiler would already refuse
const anything = (x: unknown) => x as any;

const refusals: [code: string, what: string, call: () => unknown][] = [
  ["unit-mismatch", "a sum of two units", () => plus(mg, meq)],
  ["unit-mismatch", "a difference of two units", () => minus(mg, meq)],
  ["division-by-zero", "a quotient by 0", () => over(mg, zero)],
  ["division-by-zero", "a quotient by the number 0", () => over(mg, 0)],
  ["bad-value", "a value that is no number", () => measured(Number.NaN, "mg/L", { u: 1 })],
  ["bad-value", "an infinite constant", () => exactly(Number.POSITIVE_INFINITY)],
  ["bad-value", "a reading that is no number", () => fromReadings([1, Number.NaN], "mg/L")],
  ["bad-value", "a bare number that is none", () => times(mg, Number.NaN)],
  ["bad-value", "a product beyond all numbers", () => times(exactly(1e200), exactly(1e200))],
  ["bad-value", "an infinite factor of a sum", () => combineLinear([{ value: mg, factor: 1 / 0 }], "mg/L")],
  [
    "bad-value",
    "a contribution that is no number",
    () => fromSources(1, "1", [{ source: "a", contribution: Number.NaN }]),
  ],
  ["bad-value", "an input of a model that is no number", () => propagate((x) => x.a, { a: Number.NaN }, "1")],
  ["bad-uncertainty", "a negative u", () => measured(1, "mg/L", { u: -1 })],
  ["bad-uncertainty", "an infinite u", () => measured(1, "mg/L", { u: Number.POSITIVE_INFINITY })],
  [
    "bad-uncertainty",
    "a negative half-width",
    () => measured(1, "mg/L", { halfWidth: -1, shape: "arcsine" }),
  ],
  [
    "bad-uncertainty",
    "an unknown shape",
    () => measured(1, "mg/L", anything({ halfWidth: 1, shape: "round" })),
  ],
  ["bad-uncertainty", "no description at all", () => measured(1, "mg/L", anything({}))],
  ["bad-uncertainty", "a coverage factor of 0", () => measured(1, "mg/L", { expanded: 1, k: 0 })],
  [
    "bad-uncertainty",
    "a flat top wider than its base",
    () => measured(1, "mg/L", { halfWidth: 1, shape: "trapezoidal", topRatio: 2 }),
  ],
  [
    "bad-uncertainty",
    "a half-width less sure than itself",
    () => measured(1, "mg/L", { halfWidth: 1, shape: "curvilinear-trapezoid", halfWidthTolerance: 2 }),
  ],
  [
    "bad-uncertainty",
    "a source with negative u",
    () => fromSources(1, "1", [{ source: "a", contribution: 1, u: -1 }]),
  ],
  ["bad-dof", "degrees of freedom below 1", () => measured(1, "mg/L", { u: 1 }, { dof: 0 })],
  [
    "bad-dof",
    "a source with degrees of freedom that are no number",
    () => fromSources(1, "1", [{ source: "a", contribution: 1, dof: Number.NaN }]),
  ],
  ["bad-dof", "a coverage factor without freedom", () => coverageFactor(0)],
  ["bad-level", "an interval in percent", () => mg.interval(95)],
  ["bad-level", "trials with a level of 1", () => monteCarlo((x) => x.a, { a: mg }, { level: 1 })],
  ["bad-unit", "an empty unit", () => measured(1, " ", { u: 1 })],
  ["bad-unit", "a sum without unit", () => combineLinear([{ value: mg, factor: 1 }], "")],
  ["bad-unit", "a model without unit", () => propagate((x) => x.a, { a: mg }, "")],
  ["bad-source", "an empty name", () => measured(1, "mg/L", { u: 1 }, { source: "" })],
  ["too-few-readings", "one reading", () => fromReadings([1], "mg/L")],
  ["too-few-readings", "one set of readings", () => fromSimultaneousReadings({ a: [1], b: [2] }, "mg/L")],
  ["too-few-readings", "no quantity", () => fromSimultaneousReadings({}, "mg/L")],
  ["unequal-readings", "sets with a hole", () => fromSimultaneousReadings({ a: [1, 2], b: [2] }, "mg/L")],
  [
    "unequal-readings",
    "biases without their references",
    () => topDownUncertainty({ withinLaboratory: 1, biases: [1, 2], referenceUncertainties: [1] }),
  ],
  [
    "no-biases",
    "no bias",
    () => topDownUncertainty({ withinLaboratory: 1, biases: [], referenceUncertainties: [] }),
  ],
  ["bad-covariance", "a matrix of another size", () => fromCovariance({ a: 1, b: 2 }, "1", [[1]])],
  [
    "bad-covariance",
    "a lopsided matrix",
    () =>
      fromCovariance({ a: 1, b: 2 }, "1", [
        [1, 0.5],
        [0.4, 1],
      ]),
  ],
  [
    "bad-covariance",
    "a correlation above 1",
    () =>
      fromCovariance({ a: 1, b: 2 }, "1", [
        [1, 1.1],
        [1.1, 1],
      ]),
  ],
  ["bad-covariance", "a negative variance", () => fromCovariance({ a: 1 }, "1", [[-1]])],
  ["bad-concise-form", "a number without parentheses", () => readConciseForm("10.02")],
  [
    "model-not-finite",
    "a model that divides by 0 at the estimates",
    () => propagate((x) => 1 / x.a, { a: zero }, "1"),
  ],
  [
    "model-not-finite",
    "a model that fails beside the estimates",
    () => propagate((x) => Math.sqrt(x.a), { a: zero }, "1"),
  ],
  [
    "model-not-finite",
    "a model that returns nothing",
    () =>
      propagate(
        anything(() => undefined),
        { a: mg },
        "1",
      ),
  ],
  [
    "model-not-finite",
    "trials where the model fails",
    () => monteCarlo((x) => Math.log(x.a), { a: measured(1, "1", { u: 1 }) }, { trials: 1000 }),
  ],
  [
    "model-not-finite",
    "a model that fails two steps away",
    () => propagateSecondOrder((x) => Math.sqrt(x.a), { a: measured(0.5, "1", { u: 1 }) }, "1"),
  ],
  [
    "bad-input",
    "an input that is a text",
    () =>
      propagate(
        anything((x: { a: number }) => x.a),
        anything({ a: "10" }),
        "1",
      ),
  ],
  ["bad-trials", "too few trials", () => monteCarlo((x) => x.a, { a: mg }, { trials: 10 })],
  ["bad-trials", "half a trial", () => monteCarlo((x) => x.a, { a: mg }, { trials: 1000.5 })],
  ["bad-seed", "a broken seed", () => monteCarlo((x) => x.a, { a: mg }, { seed: 0.5 })],
];

describe("refused with a code and a way to mend it", () => {
  test.each(refusals)("%s: %s", (code, _what, call) => {
    let caught: unknown;
    try {
      call();
    } catch (error) {
      caught = error;
    }
    expect(isIonbookError(caught), String(caught)).toBe(true);
    expect((caught as { code: string }).code).toBe(code);
    expect((caught as Error).message.length).toBeGreaterThan(20);
  });

  test("a unit mismatch names both units", () => {
    expect(() => plus(mg, meq)).toThrow(/"mg\/L" and "meq\/L"/);
  });

  test("a failed trial says at which inputs", () => {
    const run = () => monteCarlo((x) => Math.log(x.a), { a: measured(1, "1", { u: 1 }) }, { trials: 1000 });
    expect(run).toThrow(/gives NaN at a = -/);
  });

  test("inputs are never written", () => {
    const readings = Object.freeze([1, 2, 3]);
    const a = fromReadings(readings as readonly number[], "mg/L");
    const before = [...a.contributions];
    plus(times(2, a), a);
    monteCarlo((x) => x.a, { a }, { trials: 1000 });
    expect([...a.contributions]).toEqual(before);
    expect(conciseForm(a)).toBe("2.00(58) mg/L");
  });
});
