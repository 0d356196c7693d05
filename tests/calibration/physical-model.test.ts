import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import {
  carbonicAcidOfBackground,
  suppressedSignal,
} from "../../toolkit/water/conductivity/suppressed-signal.js";
import { codeOf, pointsOf } from "./published.js";

const CELL = { loop: 25, flow: 1, sigma: 0.08 } as const;
const AT = [0.1, 1, 10, 100, 1000];

describe("response behind the suppressor, relative to λ(H⁺ or OH⁻) + λ (handbook CONDUCTIVITY §3, computed there)", () => {
  // Peak-centre concentrations 0.1, 1, 10, 100, 1000 µmol/L; full response of chloride 0.426, of ammonium 0.272.
  it.each([
    { ion: "chloride", carbonicAcid: 0, full: 0.426, table: [0.51, 0.88, 0.99, 1.0, 1.0] },
    { ion: "chloride", carbonicAcid: 5, full: 0.426, table: [0.61, 0.67, 0.9, 0.99, 1.0] },
    { ion: "chloride", carbonicAcid: 5900, full: 0.426, table: [0.54, 0.54, 0.56, 0.73, 0.96] },
    { ion: "fluoride", carbonicAcid: 0, full: 0.405, table: [0.48, 0.88, 0.97, 0.88, 0.55] },
    { ion: "fluoride", carbonicAcid: 5, full: 0.405, table: [0.59, 0.66, 0.88, 0.87, 0.55] },
    { ion: "acetate", carbonicAcid: 0, full: 0.391, table: [0.46, 0.82, 0.7, 0.34, 0.12] },
    { ion: "ammonium", carbonicAcid: 0, full: 0.272, table: [0.23, 0.77, 0.7, 0.34, 0.13] },
    { ion: "ammonium", carbonicAcid: 5, full: 0.272, table: [-0.38, -0.27, 0.37, 0.32, 0.12] },
    { ion: "sodium", carbonicAcid: 5, full: 0.248, table: [-0.51, -0.4, 0.48, 0.94, 0.99] },
  ])("$ion, $carbonicAcid µmol/L of carbonic acid", ({ ion, carbonicAcid, full, table }) => {
    const signal = suppressedSignal(ion, carbonicAcid);
    AT.forEach((c, i) => {
      // Two printed decimals; conductivities of the ion table differ from the handbook's by up to 0.5 %.
      expect(Math.abs(signal.above(c) / c / full - table[i])).toBeLessThanOrEqual(0.0105);
    });
  });

  it("backgrounds 0.51 and 20.1 µS/cm for 5 µmol/L and 5.9 mmol/L, and back (the same table)", () => {
    expect(suppressedSignal("chloride", 5).background).toBeCloseTo(0.51, 2);
    expect(suppressedSignal("chloride", 5900).background).toBeCloseTo(20.1, 1);
    for (const total of [1, 5, 59, 5900]) {
      const { background } = suppressedSignal("chloride", total);
      expect(carbonicAcidOfBackground(background) / total).toBeCloseTo(1, 3);
    }
    expect(codeOf(() => carbonicAcidOfBackground(0.01))).toBe("bad-background");
  });
});

describe("the physical calibration", () => {
  const levels = [0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10];

  it("of a strong ion without carbonic acid is the area theorem: 25.56 µS·s per nmol of HCl at 1 mL/min (CONDUCTIVITY §1)", () => {
    const curve = calibrate(pointsOf([500, 1000, 2000], [500, 1000, 2000]), {
      model: "physical",
      ion: "Cl-",
      physical: CELL,
    });
    // γ = 1 by definition of A: the area of 2000 mg/L in 25 µL, 1410 nmol, in µS/cm·min.
    const perNanomole = (60 * (curve.respond(2000) / curve.coefficients[0])) / ((2000 * 25) / 35.45);
    expect(perNanomole / 25.56).toBeCloseTo(1, 2);
  });

  it.each([1, 2, 3])(
    "with one coefficient follows ammonium over two decades, where a line is off by a third (seed %i)",
    (seed) => {
      const random = createRandom(seed);
      const gamma = 0.93;
      const truth = calibrate(pointsOf(levels, levels), {
        model: "physical",
        ion: "NH4+",
        physical: { ...CELL, carbonicAcid: 0.02 },
      });
      const area = (x: number) => (gamma * truth.respond(x)) / truth.coefficients[0];
      const points = levels.flatMap((concentration) =>
        [0, 1].map(() => ({ concentration, response: area(concentration) * (1 + 0.01 * random.normal()) })),
      );
      const curve = calibrate(points, {
        model: "physical",
        weighting: { standardDeviations: points.map(({ response }) => 0.01 * response) },
        ion: "NH4+",
        physical: { ...CELL, carbonicAcid: 0.02 },
      });
      expect(Math.abs(curve.coefficients[0] - gamma)).toBeLessThan(4 * curve.standardErrors[0]);
      expect(curve.coefficients.length).toBe(1);
      for (const x of [0.07, 0.7, 7]) {
        const found = curve.concentration(area(x));
        expect(found.value / x).toBeCloseTo(1, 1.5);
        expect(curve.respond(found.value)).toBeCloseTo(area(x), 9);
      }
      const line = calibrate(points, { weighting: "1/x^2" });
      expect(
        Math.max(...line.backCalculated().map(({ relativeErrorPercent }) => Math.abs(relativeErrorPercent))),
      ).toBeGreaterThan(20);
      expect(String(curve)).toContain("γ = 0.9");
    },
  );

  it("results carry the stock that all levels share, in proportion to their local slope", () => {
    const stock = 0.004;
    const points = pointsOf(
      levels,
      levels.map((x) => 0.2 * x),
    ).map((point) => ({
      ...point,
      sources: [{ source: "stock", contribution: stock * point.concentration }],
    }));
    const options = { model: "physical", weighting: "1/x^2", ion: "Cl-", physical: CELL } as const;
    const moved = (by: number) =>
      calibrate(
        points.map((p) => ({ ...p, concentration: p.concentration * (1 + by) })),
        options,
      ).concentration(0.5).value;
    const row = calibrate(points, options)
      .concentration(0.5)
      .budget()
      .find(({ source }) => source === "stock");
    expect((row?.contribution ?? 0) / ((moved(stock) - moved(-stock)) / 2)).toBeCloseTo(1, 3);
  });

  it("refuses to guess the instrument or the ion, and reads no dip twice", () => {
    const points = pointsOf(
      levels,
      levels.map((x) => 0.2 * x),
    );
    expect(codeOf(() => calibrate(points, { model: "physical", ion: "Cl-" }))).toBe("no-cell");
    expect(codeOf(() => calibrate(points, { model: "physical", physical: CELL }))).toBe("no-ion");
    const wrong = (physical: object) =>
      codeOf(() => calibrate(points, { model: "physical", ion: "Cl-", physical } as never));
    expect(wrong({ ...CELL, loop: 0 })).toBe("bad-option");
    expect(wrong({ ...CELL, lop: 25 })).toBe("unknown-option");
    expect(wrong({ ...CELL, response: "width" })).toBe("bad-option");
    const dips = calibrate(pointsOf([2, 5, 10, 20], [0.2, 0.6, 1, 1.6]), {
      model: "physical",
      ion: "NH4+",
      physical: { ...CELL, carbonicAcid: 5 },
    });
    expect(codeOf(() => dips.concentration(-5))).toBe("no-inverse");
  });
});
