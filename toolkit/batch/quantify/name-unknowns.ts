import type { PeakIdentity } from "../types.js";
import type { EvaluatedChannel, EvaluatedPeak, EvaluatedRun } from "./evaluate-channel.js";

/** The name a peak carries in all tables. */
export interface PeakName {
  readonly name: string;
  readonly identity: PeakIdentity;
}

/** A group of unnamed peaks that elute together over the batch. */
export interface UnknownGroup {
  readonly name: string;
  readonly system: boolean;
  /** Median aligned time, min. */
  readonly time: number;
  readonly members: readonly { readonly run: EvaluatedRun; readonly peak: EvaluatedPeak }[];
}

/** Relative distance of aligned times up to which unnamed peaks of different runs are one: a neighbour can pull an apex that far. */
const SAME_PEAK = 0.008;
/**
 * A group seen in this share of the runs that hold no sample (blanks and standards), and in two of them at least,
 * belongs to the system: once may be carry-over, twice in water is not the sample's.
 */
const SYSTEM_SHARE = 0.1;
const SYSTEM_RUNS = 2;
/** An unnamed peak whose area is not this many standard uncertainties above zero is no peak, */
const LEAST_AREA = 2.5;
/** unless the filter sees it this many of its own spreads high: it is there, however badly its background is known. */
const CLEARLY_SEEN = 20;
/** The same for a broad peak: a wandering background makes hills of twenty times the noise, not of a hundred. */
const BROAD_CLEARLY_SEEN = 100;

/**
 * Follows the peaks without a name over all runs of a channel: single linkage on aligned retention times.
 *
 * Groups that blanks or standards show, and broad ones, belong to the system; the others are unknown
 * peaks, numbered by the order in which they first appear. What occurs twice in one run is two peaks.
 */
export function groupUnknowns(channel: EvaluatedChannel, firstSystemNumber: number): readonly UnknownGroup[] {
  const found = channel.runs.flatMap((run) =>
    run.peaks.flatMap((peak) => {
      if (peak.ion !== undefined || !peak.raw) return [];
      const clear = peak.raw.broad ? BROAD_CLEARLY_SEEN : CLEARLY_SEEN;
      const seen = peak.area > 0 && peak.raw.significance > clear;
      if (!seen && !(peak.area > LEAST_AREA * peak.uNoise)) return [];
      return [{ run, peak, time: peak.time * Math.exp(-run.alignment.common) }];
    }),
  );
  found.sort((a, b) => a.time - b.time);
  const groups: (typeof found)[] = [];
  for (const item of found) {
    const last = groups[groups.length - 1];
    const reach = SAME_PEAK * item.time + (item.peak.broad ? channel.widths.at(item.time) : 0);
    if (last && item.time - last[last.length - 1].time < reach) last.push(item);
    else groups.push([item]);
  }
  const order = new Map(channel.runs.map((run, i) => [run, i]));
  const system = groups.filter((g) => isSystem(channel, g));
  const unknown = groups
    .filter((g) => !system.includes(g))
    .flatMap(apart)
    .sort((a, b) => firstRun(a, order) - firstRun(b, order) || a[0].time - b[0].time);
  const named = (list: typeof groups, word: string, from: number, isSystemGroup: boolean): UnknownGroup[] =>
    list.map((members, i) => ({
      name: `${word}-${from + i}`,
      system: isSystemGroup,
      time: members[members.length >> 1].time,
      members,
    }));
  return [...named(system, "system", firstSystemNumber, true), ...named(unknown, "unknown", 1, false)];
}

/** A group cut at its widest gap between two peaks of one run, until no run has two. */
function apart(group: Found): Found[] {
  let widest = 0;
  let cut = 0;
  group.forEach((first, i) => {
    const second = group.findIndex((each, j) => j > i && each.run === first.run);
    for (let k = i + 1; k <= second; k++) {
      const gap = group[k].time - group[k - 1].time;
      if (cut === 0 || gap > widest) [widest, cut] = [gap, k];
    }
  });
  return cut === 0 ? [group] : [...apart(group.slice(0, cut)), ...apart(group.slice(cut))];
}

type Found = { readonly run: EvaluatedRun; readonly peak: EvaluatedPeak; readonly time: number }[];

function isSystem(channel: EvaluatedChannel, group: Found): boolean {
  const without = channel.runs.filter(
    (r) => r.injection.kind === "blank" || r.injection.kind === "calibration",
  );
  const seen = without.filter((r) => group.some((g) => g.run === r)).length;
  const broad = group.filter((g) => g.peak.broad).length / group.length;
  return broad >= 0.5 || (seen >= SYSTEM_RUNS && seen >= SYSTEM_SHARE * without.length);
}

function firstRun(group: Found, order: ReadonlyMap<EvaluatedRun, number>): number {
  return Math.min(...group.map((g) => order.get(g.run) ?? 0));
}
