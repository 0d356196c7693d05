import { describe, expect, test } from "vitest";
import { decide } from "../../toolkit/compare/decision.js";
import { DISPLAY } from "../../toolkit/display.js";
import { isIonbookError } from "../../toolkit/errors.js";
import { exactly, measured } from "../../toolkit/uncertainty/measured.js";

const limit = { upper: 50, unit: "mg/L" };
const nitrate = measured(48.6, "mg/L", { u: 1.1 });

describe("nitrate 48.6 ± 1.1 (u) against 50 mg/L [computed from the formulas of JCGM 106:2012, clause 8]", () => {
  test("the probability of conformity is 0.898", () => {
    expect(decide(nitrate, limit, "simple").probability).toBeCloseTo(0.898, 3);
  });

  test("simple acceptance passes it", () => {
    const { accepted, verdict, guardBand, acceptance } = decide(nitrate, limit, "simple");
    expect({ accepted, verdict, guardBand, high: acceptance.high }).toEqual({
      accepted: true,
      verdict: "conforms",
      guardBand: 0,
      high: 50,
    });
  });

  test("with a guard band of 1.645 u the acceptance limit is 48.19, and conformity is not shown", () => {
    const decision = decide(nitrate, limit, "guarded");
    expect(decision.acceptance.high).toBeCloseTo(48.19, 2);
    expect(decision.acceptance.low).toBe(Number.NEGATIVE_INFINITY);
    expect([decision.accepted, decision.verdict]).toEqual([false, "not shown to conform"]);
    expect(String(decision)).toBe(
      '48.6 ± 2.2 mg/L (k = 2.0): not shown to conform (probability of conformity 89.8 %; rule "guarded" accepts up to 48.2 mg/L)',
    );
  });

  test("with U = 2 u the acceptance limit is 47.8", () => {
    expect(decide(nitrate, limit, "expanded").acceptance.high).toBeCloseTo(47.8, 12);
  });

  test("a rejection guard asks for proof beyond 51.81", () => {
    const decision = decide(nitrate, limit, "rejection");
    expect(decision.acceptance.high).toBeCloseTo(51.81, 2);
    expect(decision.verdict).toBe("non-conformity not shown");
    expect(decide(measured(52, "mg/L", { u: 1.1 }), limit, "rejection").verdict).toBe("does not conform");
  });
});

test("at the acceptance limit of the guarded rule the risk is the stated one, whatever the degrees of freedom", () => {
  for (const [dof, risk] of [
    [Number.POSITIVE_INFINITY, 0.05],
    [5, 0.05],
    [12, 0.01],
  ]) {
    const guard = decide(measured(50, "mg/L", { u: 1 }, { dof }), limit, "guarded", { risk });
    const atLimit = measured(guard.acceptance.high, "mg/L", { u: 1 }, { dof });
    expect(decide(atLimit, limit, "guarded", { risk }).probability).toBeCloseTo(1 - risk, 9);
  }
});

test("results far beyond the limit do not conform under any rule, far inside they are accepted under every one", () => {
  for (const rule of ["simple", "guarded", "expanded", "rejection"] as const) {
    expect(decide(measured(60, "mg/L", { u: 1 }), limit, rule).verdict).toBe("does not conform");
    expect(decide(measured(40, "mg/L", { u: 1 }), limit, rule).accepted).toBe(true);
  }
});

test("the guard band follows the uncertainty at the limit where it is given", () => {
  expect(decide(nitrate, limit, "expanded", { uAtLimit: 1.5 }).guardBand).toBe(3);
});

test("between two limits the probability is that of lying inside both: ±u holds 68.27 %", () => {
  const both = { lower: 6.5, upper: 8.5, unit: "1" };
  const decision = decide(measured(7.5, "1", { u: 1 }), both, "guarded");
  expect(decision.probability).toBeCloseTo(0.682689, 6);
  expect(decision.acceptance.low).toBeGreaterThan(decision.acceptance.high);
  expect(decision.accepted).toBe(false);
});

test("a lower limit is judged from its own side", () => {
  const oxygen = measured(5.9, "mg/L", { u: 0.1 });
  const decision = decide(oxygen, { lower: 6, unit: "mg/L" }, "simple");
  expect(decision.probability).toBeCloseTo(0.158655, 6);
  expect(decision.verdict).toBe("does not conform");
});

test("a value without uncertainty conforms or does not, the limit itself included", () => {
  expect(decide(exactly(50, "mg/L"), limit, "guarded")).toMatchObject({ probability: 1, accepted: true });
  expect(decide(exactly(50.1, "mg/L"), limit, "guarded")).toMatchObject({ probability: 0, accepted: false });
});

test("a decision shows itself as text", async () => {
  const decision = decide(nitrate, limit, "simple");
  expect(decision.kind).toBe("decision");
  expect(await decision[DISPLAY]()).toEqual({ "text/plain": String(decision) });
});

test.each([
  ["unit-mismatch", () => decide(nitrate, { upper: 50, unit: "µg/L" }, "simple")],
  ["bad-limit", () => decide(nitrate, { unit: "mg/L" }, "simple")],
  ["bad-limit", () => decide(nitrate, { lower: 50, upper: 40, unit: "mg/L" }, "simple")],
  ["bad-limit", () => decide(nitrate, { upper: Number.NaN, unit: "mg/L" }, "simple")],
  ["bad-rule", () => decide(nitrate, limit, "lenient" as "simple")],
  ["bad-risk", () => decide(nitrate, limit, "guarded", { risk: 5 })],
  ["bad-uncertainty", () => decide(nitrate, limit, "guarded", { uAtLimit: -1 })],
])("refused: %s", (code, call) => {
  let caught: unknown;
  try {
    call();
  } catch (error) {
    caught = error;
  }
  expect(isIonbookError(caught) && caught.code).toBe(code);
});
