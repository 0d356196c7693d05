import { describe, expect, test } from "vitest";
import { measured, monteCarlo, propagate } from "../../toolkit/uncertainty/measured.js";

// An invented but realistic budget with its independently computed results (no publication): nitrate in moist soil,
// w = x0·f·V_e/(m·(1 − M)·R), every u relative in %.
const relative = (value: number, percent: number, source: string, dof = Number.POSITIVE_INFINITY) =>
  measured(value, "1", { u: (value * percent) / 100 }, { source, dof });

function inputs(finite: boolean) {
  const dof = (n: number) => (finite ? n : Number.POSITIVE_INFINITY);
  return {
    x0: relative(4.312, 0.87, "calibration", 16),
    stock: relative(1, 0.2, "stock"),
    standard: relative(1, 0.52, "working standard"),
    dilution: relative(10, 0.19, "aliquot"),
    extract: relative(100, 0.05, "extract volume"),
    mass: relative(10.0023, 0.003, "mass"),
    dry: measured(0.818, "1", { u: 0.004 }, { source: "moisture", dof: dof(2) }),
    recovery: measured(0.982, "1", { u: 0.018 }, { source: "recovery", dof: dof(5) }),
  };
}

const model = (x: Record<keyof ReturnType<typeof inputs>, number>) =>
  (x.x0 * x.stock * x.standard * x.dilution * x.extract) / (x.mass * x.dry * x.recovery);

describe("nitrate in moist soil, eight components", () => {
  const w = propagate(model, inputs(true), "mg/kg dry");

  test("w is 536.7 mg/kg with u 11.6 (2.17 %), 9.5 degrees of freedom and k 2.26", () => {
    expect(w.value).toBeCloseTo(536.7, 1);
    expect(w.u).toBeCloseTo(11.6, 1);
    expect((100 * w.u) / w.value).toBeCloseTo(2.17, 2);
    expect(w.dof).toBeCloseTo(9.5, 0.5);
    expect(w.interval().k).toBeCloseTo(2.26, 2);
    expect(String(w)).toBe("537 ± 26 mg/kg dry (k = 2.3)");
  });

  test("recovery is 71 % of it, calibration 16 %, the working standard 6 %, moisture 5 %", () => {
    const shares = w.budget().map(({ source, share }) => [source, Math.round(100 * share)]);
    expect(shares.slice(0, 4)).toEqual([
      ["recovery", 71],
      ["calibration", 16],
      ["working standard", 6],
      ["moisture", 5],
    ]);
  });

  test("Monte Carlo with normal inputs but the calibration gives s 11.8, 514 to 561", () => {
    const { mean, u, interval } = monteCarlo(model, inputs(false));
    expect(mean).toBeCloseTo(536.9, 0.5);
    expect(Math.abs(u - 11.8)).toBeLessThan(0.06);
    expect(Math.round(interval.low)).toBe(514);
    expect(Math.abs(interval.high - 561)).toBeLessThan(0.6);
  });

  test("with t inputs for moisture (ν 2) and recovery (ν 5) the interval is 508 to 569, and the ν of 2 is warned of", () => {
    const { interval, cautions } = monteCarlo(model, inputs(true));
    expect(Math.abs(interval.low - 508)).toBeLessThan(1);
    expect(Math.abs(interval.high - 569)).toBeLessThan(1);
    expect(cautions.join()).toContain("moisture");
  });
});
