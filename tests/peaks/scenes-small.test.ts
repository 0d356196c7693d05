import { describe, expect, it } from "vitest";
import { gradientScene } from "../score/scenes/gradient-scene.js";
import { judgeScene } from "../score/scenes/judge.js";
import { smallRows } from "../score/scenes/small-rows.js";
import { isClaimed } from "../score/scenes/statistics.js";

/** The small size of the scoring run (tests/score/scenes): one day of the anion column, tails that are no sums of exponentials. */
describe("a scene of known truth", () => {
  const scenes = [judgeScene(gradientScene("anions", 1, "white + 1/f", "power law", 4, 2, 2))];

  // A limit that so few peaks cannot exceed asks nothing.
  for (const { name, n, off, most } of smallRows(scenes).filter((row) => row.most < row.n)) {
    it(`${name}: at most ${most} of ${n}`, () => expect(off).toBeLessThanOrEqual(most));
  }

  it.each(["isolated", "overlapped", "rider"] as const)("claim the areas of %s peaks", (situation) => {
    const there = scenes.flatMap(({ peaks }) => peaks).filter(({ truth }) => truth.situation === situation);
    expect(there.filter(isClaimed).length).toBeGreaterThan(there.length / 2);
  });

  it("gives every ion and every unknown substance its right name or none", () => {
    const wrong = scenes.flatMap(({ identity }) => [...identity.wrong, ...identity.unknownsNamed]);
    expect(wrong).toEqual([]);
    expect(scenes.reduce((sum, { identity }) => sum + identity.ions, 0)).toBeGreaterThan(30);
  });
});
