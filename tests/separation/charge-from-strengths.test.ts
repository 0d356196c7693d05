import { describe, expect, it } from "vitest";
import { chargeFromStrengths } from "../../toolkit/separation/charge-from-strengths.js";
import { measured } from "../../toolkit/uncertainty/measured.js";

const HOLD_UP = 1.3;
/** Ion exchange with an eluent of charge y: k = K/c^(z/y) (derived from mass action). */
const timeOf = (charge: number, concentration: number, eluentCharge = 1) =>
  HOLD_UP * (1 + 4 * (concentration / 20) ** (-charge / eluentCharge));
const request = (charge: number, u: number, eluentCharge = 1) => ({
  weaker: { concentration: 20, retentionTime: measured(timeOf(charge, 20, eluentCharge), "min", { u }) },
  stronger: { concentration: 30, retentionTime: measured(timeOf(charge, 30, eluentCharge), "min", { u }) },
  holdUpTime: HOLD_UP,
  eluentCharge,
});

describe("the charge of an ion from two eluent strengths", () => {
  it.each([1, 2, 3])("is %d where mass action says so", (charge) => {
    const found = chargeFromStrengths(request(charge, 0.005));
    expect(found.measured.value).toBeCloseTo(charge, 10);
    expect(found.charge).toBe(charge);
    expect(found.measured.u).toBeGreaterThan(0);
  });
  it("counts the charge of the eluent's own ion", () => {
    expect(chargeFromStrengths(request(2, 0.005, 2)).charge).toBe(2);
  });
  it("its uncertainty is that of the slope: u(b) = √(Σ(u(t)/(t − t0))²)/ln(c2/c1)", () => {
    const { measured: found } = chargeFromStrengths(request(1, 0.01));
    const parts = [20, 30].map((c) => 0.01 / (timeOf(1, c) - HOLD_UP));
    expect(found.u).toBeCloseTo(Math.hypot(...parts) / Math.log(1.5), 6);
  });
  it("decides nothing where the times are too uncertain, or the slope is near no whole number", () => {
    expect(chargeFromStrengths(request(1, 0.4)).charge).toBeUndefined();
    const between = chargeFromStrengths(request(1.4, 0.001));
    expect(between.charge).toBeUndefined();
    expect(between.verdict).toContain("near no whole charge");
  });
  it.each([
    ["unknown-option", { ...request(1, 0.01), t0: 1.3 }],
    ["bad-option", { ...request(1, 0.01), holdUpTime: 9 }],
    ["bad-option", { ...request(1, 0.01), holdUpTime: "1.3" }],
    ["bad-option", { ...request(1, 0.01), stronger: request(1, 0.01).weaker }],
    ["bad-option", undefined],
    ["bad-option", { weaker: 1 }],
  ])("refuses with %s", (code, wrong) => {
    expect(() => chargeFromStrengths(wrong as never)).toThrow(expect.objectContaining({ code }));
  });
});
