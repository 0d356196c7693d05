import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { cellSolute } from "../../toolkit/simulation/cell-solute.js";
import { cellSignals } from "../score/scenes/cell-signals.js";
import { ladderScene } from "../score/scenes/ladder-scene.js";
import { assignPeaks } from "../score/scenes/match.js";
import { recoveredFraction } from "../score/scenes/recovered-fraction.js";
import type { TailForm } from "../score/scenes/scene.js";
import { bandProfile } from "../score/scenes/tail-forms.js";

const GRID = { step: 0.2, length: 7500 };
const BAND = { center: 300, sigma: 5, tau: 2, overload: 1 };
const sum = (values: Float64Array) => values.reduce((total, y) => total + y, 0);

describe("tails of the scenes", () => {
  const forms: readonly TailForm[] = ["exponential", "slow exponentials", "power law", "tabulated"];
  it.each(forms)("%s: the area is 1, whatever the overload", (tail) => {
    for (const overload of [0, 4])
      expect(sum(bandProfile({ ...BAND, overload }, tail, GRID)) * GRID.step).toBeCloseTo(1, 6);
  });

  it("a power law and a tabulated kernel fall ever more slowly, a single exponential does not", () => {
    const rate = (tail: TailForm, time: number) => {
      const profile = bandProfile(BAND, tail, GRID);
      const at = (t: number) => profile[Math.round(t / GRID.step)];
      return Math.log(at(time) / at(time + 10)) / 10;
    };
    expect(rate("exponential", 370)).toBeCloseTo(1 / BAND.tau, 3);
    expect(rate("exponential", 350)).toBeCloseTo(rate("exponential", 370), 2);
    for (const tail of ["power law", "tabulated"] as const)
      expect(rate(tail, 340)).toBeGreaterThan(1.3 * rate(tail, 400));
  });
});

describe("the truth of a scene", () => {
  it("is the same for the same seed and another for the next", () => {
    const [first, again, other] = [1, 1, 2].map((seed) => ladderScene(seed, "white", "exponential", 1, 0, 0));
    expect(again.samples[0].chromatogram.signal).toEqual(first.samples[0].chromatogram.signal);
    expect(other.samples[0].chromatogram.signal).not.toEqual(first.samples[0].chromatogram.signal);
  });

  it("riders stand 6, 9 or 14 σ from the top of a giant 100, 1000 or 10 000 times as high", () => {
    const { truth } = ladderScene(2, "white", "power law", 1, 0, 0).samples[0];
    const riders = truth.filter(({ rider }) => rider !== undefined);
    expect(riders).toHaveLength(4);
    for (const { ion, apex, height, rider, situation } of riders) {
      const giant = truth.find((peak) => peak.ion === ion.slice(0, "giant 1".length));
      expect(situation).toBe("rider");
      expect((giant?.height ?? 0) / height).toBeCloseTo(rider?.ratio ?? 0, 6);
      const gap = Math.abs(apex - (giant?.apex ?? 0)) / (giant?.sigma ?? 1);
      // Tops scatter by 0.2 s each and stand on whole samples.
      expect(Math.abs(gap - (rider?.gap ?? 0))).toBeLessThan(0.25);
    }
  });

  it("what the cell shows less what a strong ion adds is what it shows without the ion", () => {
    const profile = bandProfile(BAND, "exponential", GRID).map((y) => 1e-5 * y);
    const background = { carbonicAcid: 2e-6, leak: 0 };
    const carbonic = new Float64Array(GRID.length);
    const part = { solute: cellSolute("nitrate"), profile };
    const signals = cellSignals([part], background, carbonic);
    const without = cellSignals([], background, carbonic);
    for (const i of [1400, 1500, 1600])
      expect(signals.all[i] - signals.contributions[0][i]).toBeCloseTo(without.all[i], 9);
    expect(Math.max(...signals.contributions[0])).toBeGreaterThan(0.05);
  });
});

describe("the assignment of found peaks", () => {
  it("is the best of all one-to-one assignments", () => {
    const random = createRandom(3);
    for (let round = 0; round < 200; round++) {
      const truth = Array.from({ length: 4 }, () => ({ apex: 6 * random.uniform(), sigma: 1 }));
      const found = Array.from({ length: 4 }, () => 6 * random.uniform());
      const partner = assignPeaks(truth, found);
      const pairs = partner.flatMap((j, i) => (j === undefined ? [] : [Math.abs(found[j] - truth[i].apex)]));
      expect(new Set(partner.filter((j) => j !== undefined)).size).toBe(pairs.length);
      const value = pairs.reduce((total, d) => total + d * d - 4.5 * 2, 0);
      expect(value).toBeCloseTo(leastCost(truth, found, new Set()), 9);
    }
  });
});

/** By trying everything: a pair within 1.5 σ earns 9 less the square of its distance. */
function leastCost(
  truth: readonly { readonly apex: number }[],
  found: readonly number[],
  taken: ReadonlySet<number>,
  i = 0,
): number {
  if (i === truth.length) return 0;
  const options = found.flatMap((time, j) => {
    const distance = Math.abs(time - truth[i].apex);
    if (taken.has(j) || distance > 1.5) return [];
    return [distance ** 2 - 9 + leastCost(truth, found, new Set([...taken, j]), i + 1)];
  });
  return Math.min(leastCost(truth, found, taken, i + 1), ...options);
}

describe("the recovered fraction", () => {
  it("is the weighted mean of found over true, with the scatter in its uncertainty", () => {
    const same = recoveredFraction([
      { found: 0.997, u: 0.001, truth: 1 },
      { found: 1.994, u: 0.002, truth: 2 },
    ]);
    expect(same?.fraction).toBeCloseTo(0.997, 12);
    expect(same?.u).toBeCloseTo(Math.sqrt((1e-6 + 25e-8) / 2), 9);
    const apart = recoveredFraction([
      { found: 0.98, u: 0.001, truth: 1 },
      { found: 1.02, u: 0.001, truth: 1 },
    ]);
    expect(apart?.u).toBeCloseTo(0.02, 9);
    expect(recoveredFraction([{ found: 1, u: 0.1, truth: 1 }])).toBeUndefined();
  });
});
