import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { fiellerInterval } from "../../toolkit/calibration/curve/fieller.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { CHLORIDE_POINTS } from "./chloride-example.js";
import { codeOf, pointsOf } from "./published.js";

const changed = (at: number, factor: number) =>
  CHLORIDE_POINTS.map((point) =>
    point.concentration === at ? { ...point, concentration: point.concentration * factor } : point,
  );

/** A curve as text, or the message of its refusal. */
function textOf(call: () => unknown): string {
  try {
    return String(call());
  } catch (error) {
    expect((error as { code?: string }).code).toBe("falling-line");
    return String(error);
  }
}

describe("a level entered in a wrong unit", () => {
  it.each([
    { at: 5, factor: 62.005 / 14.007, ion: "NO3-", words: /factor 4\.43/ },
    { at: 0.5, factor: 14.007 / 62.005, ion: "NO3-", words: /entered as N, not as NO3-/ },
    { at: 20, factor: 1000, ion: "Cl-", words: /µg\/L entered as mg\/L/ },
    { at: 0.1, factor: 1000, ion: "Cl-", words: /µg\/L entered as mg\/L/ },
    { at: 10, factor: 0.001, ion: "Cl-", words: /g\/L entered as mg\/L/ },
    { at: 10, factor: 10, ion: "Cl-", words: /factor 10 in a dilution/ },
  ])("$at mg/L of $ion times $factor is named", ({ at, factor, ion, words }) => {
    const level = Number((at * factor).toPrecision(12));
    for (const weighting of ["none", "1/x^2"] as const) {
      const text = textOf(() => calibrate(changed(at, factor), { weighting, ion }));
      expect(text).toContain(`The level entered as ${at * factor} mg/L is`);
      expect(text).toMatch(words);
    }
    // Where a curve can be fitted at all, it says so by a code.
    const curve = calibrate(changed(at, factor), { model: "through-zero", weighting: "1/x^2", ion });
    const warning = curve.warnings.find(({ code }) => code === "level-slip");
    expect(warning?.concentration).toBeCloseTo(level, 9);
  });

  it("4.43 is named without an ion too; a factor that is no slip is called off", () => {
    expect(calibrate(changed(5, 4.4266)).warnings[0].message).toMatch(/NO3-.*factor 4\.43/);
    expect(calibrate(changed(5, 1.6)).warnings.map(({ code }) => code)).toContain("level-off");
  });

  it.each([1, 2, 3])("good calibrations of every shape give no such warning (seed %i)", (seed) => {
    const random = createRandom(seed);
    const shapes = [
      (x: number) => 0.25 * x,
      (x: number) => 0.02 + 0.25 * x,
      (x: number) => (2 * x) / (4 + Math.sqrt(16 + 5 * x)),
      (x: number) => 0.25 * x - 0.003 * x * x,
    ];
    for (const respond of shapes) {
      for (let i = 0; i < 40; i++) {
        const points = [0.1, 0.25, 0.6, 1.2, 2.5, 5, 10, 20].flatMap((concentration) =>
          [0, 1].map(() => ({
            concentration,
            response: respond(concentration) * (1 + 0.02 * random.normal()) + 0.0008 * random.normal(),
          })),
        );
        const codes = calibrate(points, { model: "weak", weighting: "1/x^2" }).warnings.map(
          ({ code }) => code,
        );
        expect(codes).toEqual([]);
      }
    }
  });
});

describe("a reading left out", () => {
  const points = CHLORIDE_POINTS.map((point, i) =>
    i === 7 ? { ...point, response: 0.9, label: "injection A12", rejected: "air bubble in the loop" } : point,
  );

  it("does not count and stays visible with its reason", () => {
    const curve = calibrate(points, { weighting: "1/x^2" });
    const without = calibrate(
      CHLORIDE_POINTS.filter((_, i) => i !== 7),
      { weighting: "1/x^2" },
    );
    expect(curve.coefficients).toEqual(without.coefficients);
    expect(curve.points.length).toBe(17);
    expect(curve.rejected.length).toBe(1);
    const [{ reason, concentration, found, relativeErrorPercent }] = curve.rejected;
    expect([reason, concentration]).toEqual(["air bubble in the loop", 2]);
    expect(found).toBeCloseTo((0.9 - curve.coefficients[0]) / curve.coefficients[1], 10);
    expect(relativeErrorPercent).toBeCloseTo(100 * (found / 2 - 1), 10);
    expect(String(curve)).toContain("left out: injection A12: air bubble in the loop");
  });

  it("takes its given weight with it", () => {
    const weights = points.map(({ concentration }) => 1 / concentration ** 2);
    const named = calibrate(points, { weighting: "1/x^2" });
    const given = calibrate(points, { weighting: weights });
    expect(given.coefficients[1] / named.coefficients[1]).toBeCloseTo(1, 12);
  });

  it("needs a reason; more than one, or a whole end level, is warned of", () => {
    expect(codeOf(() => calibrate(points.map((p) => ({ ...p, rejected: " " }))))).toBe("no-reason");
    const noTop = CHLORIDE_POINTS.map((p) =>
      p.concentration === 20 ? { ...p, rejected: "flask broken" } : p,
    );
    const curve = calibrate(noTop, { weighting: "1/x^2" });
    expect(curve.range).toEqual([0.1, 10]);
    expect(curve.warnings.map(({ code }) => code)).toEqual(
      expect.arrayContaining(["many-rejected", "range-shortened"]),
    );
  });
});

describe("a slope that is hardly known", () => {
  // Made-up: a rise as large as the scatter.
  const noisy = calibrate(pointsOf([1, 2, 3, 4, 5, 6], [1.3, 1.6, 3.6, 3.2, 5.9, 5.2]));

  it("is warned of, and read with Fieller's interval", () => {
    const interval = noisy.interval(3);
    expect(interval.method).toBe("Fieller");
    expect(interval.g).toBeGreaterThan(0.05);
    const { low, high } = fiellerInterval(noisy, 3);
    expect([interval.low, interval.high]).toEqual([low, high]);
    expect(noisy.warnings.map(({ code }) => code)).toContain("unsure-slope");
    const sure = calibrate(CHLORIDE_POINTS, { weighting: "1/x^2" });
    expect(sure.interval(0.215).method).toBe("value ± k·u");
    expect(sure.warnings).toEqual([]);
  });

  it("flat and noisy is named flat, exactly flat is refused", () => {
    const flat = calibrate(pointsOf([1, 2, 3, 4, 5, 6], [1, 1.2, 0.9, 1.1, 0.95, 1.12]));
    expect(flat.warnings.map(({ code }) => code)).toContain("flat-line");
    expect(codeOf(() => calibrate(pointsOf([1, 2, 3, 4], [1, 1, 1, 1])))).toBe("flat-line");
    for (const model of ["quadratic", "weak"] as const) {
      expect(["flat-line", "falling-line"]).toContain(
        codeOf(() => calibrate(pointsOf([1, 2, 3, 4, 5], [1, 1, 1, 1, 1]), { model })),
      );
    }
  });

  it("a parabola that turns within the range, and too few levels, are named", () => {
    const dome = calibrate(pointsOf([0.5, 1, 2, 4, 6, 8], [0.52, 0.98, 1.85, 3.3, 4.3, 4.75]), {
      model: "quadratic",
    });
    expect(dome.warnings.map(({ code }) => code)).toContain("vertex-in-range");
    const few = calibrate(pointsOf([1, 2, 4], [1, 2.01, 3.99]));
    expect(few.warnings.map(({ code }) => code)).toContain("few-levels");
  });
});
