import { gradientScene } from "./gradient-scene.js";
import { type JudgedScene, judgeScene } from "./judge.js";
import { ladderScene } from "./ladder-scene.js";
import { NOISE_KINDS, type NoiseKind, type Scene, type TailForm } from "./scene.js";

/** Rows for seeds, columns for kinds of noise: six of nine are no sums of exponentials, and no noise has one form alone. */
const TAILS: readonly (readonly TailForm[])[] = [
  ["exponential", "power law", "tabulated"],
  ["power law", "tabulated", "slow exponentials"],
  ["tabulated", "slow exponentials", "power law"],
];

/** How many sample runs each scene of a family has. */
export interface Size {
  readonly seeds: readonly number[];
  /** Further injections of the highest standards, so that what the scores divide by is known better than any sample. */
  readonly repeats: number;
  readonly anions: number;
  readonly cations: number;
  /** More with the usual noise, for which the handbook has columns to compare the riders with. */
  readonly ladder: Readonly<Record<NoiseKind, number>>;
}

/** The full size; `SCORE_SEEDS=1` shortens it for a look. */
export const FULL: Size = {
  seeds: (process.env.SCORE_SEEDS ?? "1,2,3").split(",").map(Number),
  repeats: 4,
  anions: 15,
  cations: 15,
  ladder: { white: 27, "white + 1/f": 36, "white + 3× 1/f": 27 },
};

/** The scenes of a size, one after the other: each kind of noise for anions and ladder, the cations take turns. */
export function* scenesOf({ seeds, repeats, anions, cations, ladder }: Size): Generator<Scene> {
  for (const [s, seed] of seeds.entries()) {
    for (const [k, noise] of NOISE_KINDS.entries()) {
      const tail = (shift: number) => TAILS[(s + shift) % TAILS.length][k];
      if (ladder[noise] > 0)
        yield ladderScene(seed, noise, tail(0), ladder[noise], undefined, undefined, repeats);
      if (anions > 0)
        yield gradientScene("anions", seed, noise, tail(1), anions, undefined, undefined, repeats);
      if (cations > 0 && k === s % NOISE_KINDS.length)
        yield gradientScene("cations", seed, noise, tail(2), cations, undefined, undefined, repeats);
    }
  }
}

/** Every scene made, integrated by the product and judged; only the judgement is kept. */
export function runScenes(size: Size): readonly JudgedScene[] {
  const out: JudgedScene[] = [];
  for (const scene of scenesOf(size)) out.push(judgeScene(scene));
  return out;
}
