// Scenes × methods, all invented and seeded; printed as median % / 90th percentile of |error| %. The limits are those
// the choice of method was fixed with (a study of the laboratory's handbook; see baseline-study.ts).
import { describe, expect, it } from "vitest";
import {
  METHODS,
  medianError,
  ninetieth,
  SCENES,
  type StudiedMethod,
  study,
} from "../signal/baseline-study.js";

const SEEDS = [1, 2, 3].flatMap((seed) => Array.from({ length: 10 }, (_, run) => `${seed}/${run}`));
const CLASSES = ["trace", "beside", "medium", "major"] as const;
const LISTED: readonly StudiedMethod[] = ["oracle", ...METHODS];

const percent = (value: number) => (100 * value).toFixed(Math.abs(value) < 0.1 ? 2 : 0);

describe.each(SCENES)("%s", (scene) => {
  const errors = study(scene, LISTED, SEEDS);
  const line = (method: StudiedMethod) =>
    CLASSES.map((kind) => {
      const own = errors.get(method)?.get(kind);
      return (own ? `${percent(medianError(own))} / ${percent(ninetieth(own))}` : "–").padStart(18);
    }).join("");
  console.log(
    [
      `${scene.padEnd(18)}${CLASSES.map((kind) => kind.padStart(18)).join("")}`,
      ...LISTED.map((method) => `  ${method.padEnd(16)}${line(method)}`),
    ].join("\n"),
  );
  const own = errors.get("arPLS");

  it("arPLS, k = 2: 90th percentile of medium peaks at most 1 %", () => {
    expect(ninetieth(own?.get("medium") ?? [])).toBeLessThan(0.01);
  });

  it("arPLS, k = 2: median bias of trace peaks at most 4 %", () => {
    expect(Math.abs(medianError(own?.get("trace") ?? []))).toBeLessThan(0.04);
  });
});
