import { median } from "../../numeric/robust.js";
import type { Channel, Results } from "../types.js";
import type { NamedTime } from "./unknown-place.js";

/** Median retention times of the named ions of one channel over a batch, min. */
export function namedTimes(results: Results, channel: Channel): readonly NamedTime[] {
  const peaks = [...results.traces.values()]
    .filter((trace) => trace.channel === channel)
    .flatMap((t) => t.peaks);
  const times = new Map<string, number[]>();
  for (const { ion, identity, retentionTime } of peaks) {
    if (identity !== "confirmed" && identity !== "supported") continue;
    const list = times.get(ion) ?? [];
    list.push(retentionTime);
    times.set(ion, list);
  }
  return [...times].map(([ion, list]) => ({ ion, time: median(list) })).sort((a, b) => a.time - b.time);
}

/**
 * A time of one batch on the time axis of another, by the ions named in both: ln(t/t*) interpolated between them in time
 * and held level beyond the first and the last. Without a common ion the time stays as it is.
 */
export function alignedTime(
  time: number,
  own: readonly NamedTime[],
  reference: readonly NamedTime[],
): number {
  const there = new Map(reference.map((each) => [each.ion, each.time]));
  const shifts = own.flatMap((each) => {
    const to = there.get(each.ion);
    return to === undefined ? [] : [{ at: each.time, shift: Math.log(to / each.time) }];
  });
  if (shifts.length === 0) return time;
  let k = 0;
  while (k < shifts.length - 1 && shifts[k + 1].at < time) k++;
  const a = shifts[k];
  const b = shifts[Math.min(k + 1, shifts.length - 1)];
  const part = b.at > a.at ? Math.min(Math.max((time - a.at) / (b.at - a.at), 0), 1) : 0;
  return time * Math.exp(a.shift + part * (b.shift - a.shift));
}
