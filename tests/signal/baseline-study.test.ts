// The small size of the study in tests/score/baselines.test.ts: same scenes, same limits, fewer records.
import { describe, expect, it } from "vitest";
import { medianError, ninetieth, study } from "./baseline-study.js";

const SEEDS = [1, 2, 3].flatMap((seed) => [0, 1].map((run) => `${seed}/${run}`));

describe.each(["isocratic", "dip inside"] as const)("%s, six records", (scene) => {
  const errors = study(scene, ["arPLS", "AsLS"], SEEDS);
  const of = (method: "arPLS" | "AsLS", kind: "trace" | "medium") => errors.get(method)?.get(kind) ?? [];

  it("arPLS, k = 2: 90th percentile of medium peaks at most 1 %, median bias of trace peaks at most 4 %", () => {
    expect(of("arPLS", "trace").length).toBeGreaterThan(30);
    expect(ninetieth(of("arPLS", "medium"))).toBeLessThan(0.01);
    expect(Math.abs(medianError(of("arPLS", "trace")))).toBeLessThan(0.04);
  });

  it("AsLS gains: the same limits would fail it", () => {
    expect(medianError(of("AsLS", "trace"))).toBeGreaterThan(0.1);
    expect(ninetieth(of("AsLS", "medium"))).toBeGreaterThan(0.01);
  });
});
