import { mostHits } from "./counts.js";
import type { JudgedScene } from "./judge.js";
import { type Situation, sizeOf } from "./scene.js";
import { isClaimed } from "./statistics.js";

/** One limit of the small run: so many of n were off, and at most so many may be. */
export interface CountRow {
  readonly name: string;
  readonly n: number;
  readonly off: number;
  readonly most: number;
}

/**
 * The accept column of the handbook on few peaks: what the full size asks of a share is asked of the count here, with
 * the chance of one in a thousand that a product right at the limit fails. A median at its limit has half of its errors
 * beyond; a 90 % point a tenth; an interval of the least accepted coverage misses 8 %.
 */
export function smallRows(scenes: readonly JudgedScene[]): readonly CountRow[] {
  const peaks = scenes
    .flatMap((scene) => scene.peaks)
    .filter(({ truth }) => sizeOf(truth.signalToNoise) !== "below");
  const claimed = peaks.filter(isClaimed);
  const clear = peaks.filter(({ truth }) => truth.situation === "isolated" && truth.signalToNoise >= 10);
  const runs = scenes.reduce((sum, scene) => sum + scene.runs, 0);
  const strays = scenes.reduce((sum, scene) => sum + scene.strays.length, 0);
  const covered = (situation: Situation): CountRow => {
    const group = claimed.filter(({ truth }) => truth.situation === situation);
    return row(`95 % interval, ${situation}`, group, ({ found }) => !found.inside, 0.08);
  };
  const medium = claimed.filter(
    ({ truth }) => truth.situation === "isolated" && sizeOf(truth.signalToNoise) === "medium",
  );
  const bad = peaks.filter(
    ({ truth, found }) => truth.situation === "rider" && found !== undefined && Math.abs(found.error) > 0.3,
  );
  return [
    row("isolated, S/N ≥ 10, not found", clear, ({ found }) => found === undefined, 0.02),
    // A tenth of a false peak in a run, told from the binomial of as many looks.
    { name: "false peaks", n: runs, off: strays, most: mostHits(runs, 0.1) },
    row("isolated, medium, more than 1 % too large", medium, ({ found }) => found.error > 0.01, 0.5),
    row("isolated, medium, more than 1 % too small", medium, ({ found }) => found.error < -0.01, 0.5),
    row("isolated, medium, more than 1 % off", medium, ({ found }) => Math.abs(found.error) > 0.01, 0.1),
    covered("isolated"),
    covered("overlapped"),
    covered("rider"),
    row("riders off by more than 30 % not refused", bad, ({ found }) => found?.refused !== true, 0.05),
  ];
}

function row<T>(name: string, list: readonly T[], isOff: (one: T) => boolean, share: number): CountRow {
  return { name, n: list.length, off: list.filter(isOff).length, most: mostHits(list.length, share) };
}
