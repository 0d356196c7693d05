import { describe, expect, it } from "vitest";
import { withChanges } from "../../toolkit/batch/quantify/method-changes.js";
import { quantify } from "../../toolkit/batch/quantify/quantify.js";
import { openBatch } from "../../toolkit/batch/reading/open-batch.js";
import type { Results } from "../../toolkit/batch/types.js";
import { DEMO_FOLDER, demoResults } from "./demo-results.js";

// The road-salt batch is invented; what is compared is the same data evaluated twice.

/** Limits chosen in the same evaluation: ions without a choice keep the default. */
function judgedByLimits(results: Results) {
  const { limitLadder: bromide, ...chosen } = results.calibration("bromide");
  expect(chosen.lod).toBe(bromide?.rung("din-32645").detectionLimit);
  expect(chosen.limitDefinition).toContain("DIN 32645");
  expect(bromide?.rungs.find((rung) => rung.inForce)?.id).toBe("din-32645");
  const nitrate = results.calibration("nitrate");
  expect(nitrate.limitLadder?.inForce?.detectionLimit).toBeCloseTo(nitrate.lod, 12);
  expect(nitrate.limitLadder?.inForce?.why).toContain("the default");
  const fluoride = results.result("spring (17 Feb)", "fluoride");
  expect(results.calibration("fluoride").criticalValue).toBe(0.1);
  expect([fluoride.status, fluoride.reported?.text]).toEqual(["not detected", "< 0.10"]);
  expect(fluoride.value?.value).toBeGreaterThan(0.07);
  expect(fluoride.limitDefinition).toContain("permit, annex 2");
  const nitrite = results.result("spring (17 Feb)", "nitrite");
  expect([nitrite.reported?.text, nitrite.reported?.below]).toEqual(["< 0.50", "reporting limit"]);
  expect(results.result("spring (17 Feb)", "phosphate").reported?.text).toMatch(/^0\.015\d J$/);
}

describe("a calibration changed for one evaluation", () => {
  it("leaves levels out with the reason, and reads no sample beyond them", async () => {
    const anions = await openBatch(`${DEMO_FOLDER}anions`);
    const changed = await quantify(anions, {
      calibration: { "Cl-": { range: [1, 20], model: "linear", weighting: "1/x" } },
      limits: {
        ions: {
          nitrite: { reportingLimit: 0.5 },
          "F-": { given: { detectionLimit: 0.1, source: "permit, annex 2" } },
          bromide: { definition: "din-32645" },
        },
      },
    });
    judgedByLimits(changed);
    const whole = (await demoResults()).calibration("chloride");
    const chloride = changed.calibration("chloride");
    expect(chloride.model).toBe("linear");
    expect(chloride.weighting).toBe("1/x");
    expect([chloride.low, chloride.high]).toEqual([1.25, 17.5]);
    expect([whole.low, whole.high]).toEqual([0.5, 100]);
    expect(chloride.points).toHaveLength(whole.points.length);
    const out = chloride.points.filter((point) => point.rejected !== undefined);
    expect(out.map((point) => point.concentration).sort((a, b) => a - b)).toEqual([
      0.5, 0.5, 42.5, 42.5, 100, 100,
    ]);
    for (const point of out) {
      expect(point.rejected).toBe("outside the range of the method, 1 to 20 mg/L");
    }
    const nitrate = changed.calibration("nitrate");
    expect(nitrate.points.filter((point) => point.rejected !== undefined)).toEqual([]);
    expect(changed.result("well 3 (12 Mar)", "chloride").status).toBe("above range");
  }, 30_000);

  it("may be written in batch.json as well, low level first", async () => {
    const { readMethod } = await import("../../toolkit/batch/reading/method.js");
    const { readFile } = await import("node:fs/promises");
    const text = await readFile(`${DEMO_FOLDER}anions/batch.json`, "utf8");
    const read = (range: string) =>
      readMethod(
        new TextEncoder().encode(text.replace('"window": 0.2,', `"window": 0.2, "range": ${range},`)),
        "b",
      );
    expect((await read("[0.01, 1]")).ions[0].range).toEqual([0.01, 1]);
    await expect(read("[1, 0.01]")).rejects.toMatchObject({ code: "bad-value" });
    await expect(read("[1]")).rejects.toMatchObject({ code: "bad-value" });
  });

  it.each([
    [{ chlorid: { range: [1, 2] } }, "unknown-ion"],
    [{ lithium: { model: "linear" } }, "not-calibrated"],
    [{ chloride: { range: [20, 1] } }, "bad-option"],
    [{ chloride: { range: 5 } }, "bad-option"],
    [{ chloride: { model: "cubic" } }, "bad-option"],
    [{ chloride: { weighting: "x" } }, "bad-option"],
    [{ chloride: { weight: "1/x" } }, "unknown-option"],
    [5, "bad-option"],
    [[], "bad-option"],
  ])("is refused with the mend: %j", async (calibration, code) => {
    const anions = await openBatch(`${DEMO_FOLDER}anions`);
    expect(() => withChanges([anions], calibration as never)).toThrow(expect.objectContaining({ code }));
  });
});
