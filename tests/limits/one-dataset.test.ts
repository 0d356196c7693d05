import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { calibrationLimits } from "../../toolkit/limits/calibration-limits.js";
import { currieLimits } from "../../toolkit/limits/currie-limits.js";
import { limitsInForce } from "../../toolkit/limits/limits-in-force.js";
import { methodDetectionLimit } from "../../toolkit/limits/method-detection-limit.js";
import { minimumReportingLevel } from "../../toolkit/limits/minimum-reporting-level.js";
import { pointsOf } from "../calibration/published.js";

// Nitrite, mg/L, whole procedure; data and every result: handbook DETECTION §2 and §3 [computed there, made-up data].
const blanks = [0.0021, -0.0004, 0.0013, 0.0032, 0.0008, 0.0017, 0.0026, 0.0002, 0.0011, 0.0019];
const spikes = [0.0218, 0.0197, 0.0236, 0.0205, 0.0229, 0.0211, 0.0246, 0.0192];
const points = pointsOf([0, 0.01, 0.02, 0.05, 0.1, 0.2], [0.0012, 0.0131, 0.0258, 0.0612, 0.1239, 0.2451]);
const spread = 0.001087;

describe("one set of nitrite data, many limits (handbook DETECTION §3)", () => {
  it("3: Currie with the blanks' mean known from ten blanks: 0.0021, exact 0.0041, by 2t 0.0042", () => {
    const net = currieLimits({ blankStandardDeviation: spread * Math.sqrt(1.1), dof: 9 });
    expect(net.criticalLevel).toBeCloseTo(0.0021, 4);
    expect(net.detectionLimit).toBeCloseTo(0.0041, 4);
    expect(net.detectionLimitByTwoT).toBeCloseTo(0.0042, 4);
  });

  it("3b: paired 0.0028, exact 0.0055, by 2t 0.0056; 3c: ten s 0.0109", () => {
    const paired = currieLimits({ blankStandardDeviation: spread, dof: 9, paired: true });
    expect(paired.criticalLevel).toBeCloseTo(0.0028, 4);
    expect(paired.detectionLimit).toBeCloseTo(0.0055, 4);
    expect(paired.detectionLimitByTwoT).toBeCloseTo(0.0056, 4);
    expect(currieLimits({ blankStandardDeviation: spread, dof: 9 }).determinationLimit).toBeCloseTo(
      0.0109,
      4,
    );
  });

  it("4: method detection limit 0.00572 from spikes, 0.00452 from blanks", () => {
    const found = methodDetectionLimit({ fortified: spikes, blanks });
    expect(found.mdlFromFortified).toBeCloseTo(0.00572, 5);
    expect(found.mdlFromBlanks).toBeCloseTo(0.00452, 5);
    expect(found.mdl).toBe(found.mdlFromFortified);
    expect(found.t).toBeCloseTo(2.998, 3);
    expect(String(found)).toContain("method detection limit 0.00572");
  });

  it("8 and 9: ISO 11843-2 0.0012 and 0.0024; the calibration band 0.0012 and 0.0025", () => {
    const iso = calibrationLimits(points, { standard: "ISO 11843-2" });
    const band = calibrationLimits(points, { standard: "Hubaux-Vos" });
    expect(iso.criticalValue).toBeCloseTo(0.0012, 4);
    expect(iso.detectionLimit).toBeCloseTo(0.0024, 4);
    expect(band.criticalValue).toBe(iso.criticalValue);
    expect(band.detectionLimit).toBeCloseTo(0.0025, 4);
  });

  it("10: the relative-uncertainty limit 0.0048", () => {
    expect(calibrationLimits(points, { standard: "DIN 32645" }).quantificationLimit).toBeCloseTo(0.0048, 4);
  });

  it("13: 0.020 confirmed as reporting level, 75 to 145 %", () => {
    const found = minimumReportingLevel({ fortified: 0.02, found: spikes.slice(0, 7) });
    expect(Math.round(found.lowerPercent)).toBe(75);
    expect(Math.round(found.upperPercent)).toBe(145);
    expect(found.confirmed).toBe(true);
    expect(
      minimumReportingLevel({ fortified: 0.004, found: [0.001, 0.002, 0.004, 0.006, 0.004, 0.003, 0.005] })
        .confirmed,
    ).toBe(false);
  });

  it("§6: in force for net results 0.0021, 0.0042, 0.0109; for results as read, above the blanks' mean 0.00145", () => {
    const line = calibrate(points);
    const net = blanks.map((blank) => blank - 0.00145);
    const corrected = limitsInForce({ calibration: line, blankConcentrations: net });
    expect(corrected.criticalValue).toBeCloseTo(0.0021, 4);
    expect(corrected.detectionLimit).toBeCloseTo(0.0042, 4);
    expect(corrected.dof).toBe(9);
    const read = limitsInForce({ calibration: line, blankConcentrations: blanks });
    expect(read.criticalValue - corrected.criticalValue).toBeCloseTo(0.00145, 9);
    expect(read.detectionLimit - corrected.detectionLimit).toBeCloseTo(0.00145, 9);
    // Ten s is 0.0109, above the lowest level of 0.01.
    expect(read.quantificationLimit).toBeCloseTo(0.0109, 4);
    expect(read.definition).toContain("Currie, 10 blanks");
  });
});

describe("limits in force", () => {
  const line = calibrate(points);

  it("come from areas as from concentrations", () => {
    const areas = blanks.map((blank) => line.respond(blank));
    const byArea = limitsInForce({ calibration: line, blankAreas: areas });
    const byConcentration = limitsInForce({ calibration: line, blankConcentrations: blanks });
    expect(byArea.criticalValue).toBeCloseTo(byConcentration.criticalValue, 12);
    expect(byArea.detectionLimit).toBeCloseTo(byConcentration.detectionLimit, 12);
  });

  it("count a negative mean of the blanks as zero", () => {
    const low = limitsInForce({ calibration: line, blankConcentrations: blanks.map((blank) => blank - 1) });
    expect(low.criticalValue).toBeGreaterThan(0);
    expect(low.definition).toContain("above zero");
  });

  it("come from the calibration below four blanks, then as ISO 11843-2 has it", () => {
    const found = limitsInForce({ calibration: line, blankConcentrations: blanks.slice(0, 3) });
    expect(found.from).toBe("calibration");
    const iso = calibrationLimits(points, { standard: "ISO 11843-2" });
    expect(found.criticalValue).toBeCloseTo(iso.criticalValue, 12);
    expect(found.detectionLimit).toBeCloseTo(2 * iso.criticalValue, 12);
    expect(found.quantificationLimit).toBe(0.01);
    expect(found.definition).toContain("ISO 11843-2");
    expect(limitsInForce({ calibration: line, blankConcentrations: blanks.slice(0, 4) }).from).toBe("blanks");
  });

  it("never quantify below the lowest calibration level", () => {
    const found = limitsInForce({ calibration: line, blankConcentrations: blanks, lowestLevel: 0.05 });
    expect(found.quantificationLimit).toBe(0.05);
    expect(found.definition).toContain("the lowest calibration level");
  });

  it("exist for a curve that is convex near zero, below whose vertex nothing can be read off", () => {
    // The vertex lies above the blanks' areas (a carbonate eluent bends this way).
    const convex = calibrate(pointsOf([0, 1, 2, 4, 8], [0.1, 0.1, 0.14, 0.4, 1.7]), { model: "quadratic" });
    const found = limitsInForce({
      calibration: convex,
      blankAreas: [0.01, 0.02, 0.015, 0.012],
      lowestLevel: 1,
    });
    expect(found.from).toBe("blanks");
    expect(Number.isFinite(found.criticalValue)).toBe(true);
  });
});
