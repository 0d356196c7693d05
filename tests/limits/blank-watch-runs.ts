// How often the watch on blanks warns: blanks of known mean and spread (made-up data). One implementation; tests/score
// runs it in full size.
import type { BlankWatch } from "../../toolkit/limits/blank-watch-types.js";
import { watchBlanks } from "../../toolkit/limits/watch-blanks.js";
import { createRandom, type Random } from "../../toolkit/numeric/random.js";

export interface WatchScenario {
  readonly name: string;
  readonly watch: (random: Random, alarm: number) => BlankWatch;
  /** A change that the warning of this name must see in at least so many per cent, at an alarm of 5 %. */
  readonly seen?: { readonly warning: string; readonly percent: number };
}

const MEAN = 0.004;
const SIGMA = 0.001;
const drawn = (random: Random, n: number, mean = MEAN, sigma = SIGMA) =>
  Array.from({ length: n }, () => mean + sigma * random.normal());

/** New blanks as the earlier ones. */
const unchanged = (earlier: number, later: number): WatchScenario => ({
  name: `${earlier} earlier, ${later} new, unchanged`,
  watch: (random, alarm) =>
    watchBlanks({ earlier: drawn(random, earlier), blanks: drawn(random, later) }, { alarm }),
});

export const UNCHANGED: readonly WatchScenario[] = [
  unchanged(10, 4),
  unchanged(10, 8),
  unchanged(20, 6),
  unchanged(5, 3),
  unchanged(10, 1),
  {
    name: "stated limit at the true 95th percentile, 12 new, unchanged",
    watch: (random, alarm) =>
      watchBlanks({ blanks: drawn(random, 12), criticalValue: MEAN + 1.6448536 * SIGMA }, { alarm }),
  },
  {
    name: "limits from 7 of their own, unchanged",
    watch: (random, alarm) =>
      watchBlanks({ blanks: drawn(random, 7), own: true, criticalValue: MEAN + 2 * SIGMA }, { alarm }),
  },
  {
    name: "10 earlier, 6 new, 7 and 4 low standards, unchanged",
    watch: (random, alarm) =>
      watchBlanks(
        {
          earlier: drawn(random, 10),
          blanks: drawn(random, 6),
          lowStandards: { earlier: drawn(random, 7, 0.02, 0.002), later: drawn(random, 4, 0.02, 0.002) },
        },
        { alarm },
      ),
  },
];

export const CHANGED: readonly WatchScenario[] = [
  {
    name: "fourfold scatter in 6 of 10",
    watch: (random, alarm) =>
      watchBlanks({ earlier: drawn(random, 10), blanks: drawn(random, 6, MEAN, 4 * SIGMA) }, { alarm }),
    seen: { warning: "blanks-scatter-more", percent: 85 },
  },
  {
    name: "level 3 σ higher in 6 of 10",
    watch: (random, alarm) =>
      watchBlanks({ earlier: drawn(random, 10), blanks: drawn(random, 6, MEAN + 3 * SIGMA) }, { alarm }),
    seen: { warning: "blanks-level-shifted", percent: 90 },
  },
  {
    name: "level 3 σ higher, stated limit, 6 new",
    watch: (random, alarm) =>
      watchBlanks(
        { blanks: drawn(random, 6, MEAN + 3 * SIGMA), criticalValue: MEAN + 1.6448536 * SIGMA },
        { alarm },
      ),
    seen: { warning: "blanks-above-critical-value", percent: 90 },
  },
  {
    name: "rising by 8 σ over 8 of their own",
    watch: (random, alarm) =>
      watchBlanks(
        {
          blanks: drawn(random, 8).map((blank, i) => blank + (8 / 7) * i * SIGMA),
          own: true,
          criticalValue: MEAN + 2 * SIGMA,
        },
        { alarm },
      ),
    seen: { warning: "blanks-drift", percent: 90 },
  },
];

/** Watches with any warning, and with the one of `warning`, %. */
export function warned(
  { name, watch, seen }: WatchScenario,
  seed: number,
  trials: number,
  alarm: number,
): { readonly any: number; readonly named: number } {
  const random = createRandom(`${name} ${seed}`);
  let [any, named] = [0, 0];
  for (let i = 0; i < trials; i++) {
    const { contradicted, warnings } = watch(random, alarm);
    if (contradicted) any++;
    if (warnings.some((warning) => warning.name === seen?.warning)) named++;
  }
  return { any: (100 * any) / trials, named: (100 * named) / trials };
}

/** Four standard deviations of the count, %: what chance alone leaves. */
export function chance(percent: number, trials: number): number {
  return 4 * Math.sqrt((percent * (100 - percent)) / trials);
}
