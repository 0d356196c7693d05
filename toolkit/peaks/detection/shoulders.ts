import type { FoundPeak } from "./find-peaks.js";

/** A found peak with the shoulders that are counted with it. */
export type HostPeak = FoundPeak & { readonly shoulders: readonly number[] };

/** Counts each shoulder with the peak it leans on; one that leans on nothing found stands for itself. */
export function withoutShoulders(found: readonly FoundPeak[]): readonly HostPeak[] {
  const byTime = new Map(found.map((peak) => [peak.retentionTime, peak]));
  const hostOf = (peak: FoundPeak): FoundPeak => {
    const next = peak.shoulderOf === undefined ? undefined : byTime.get(peak.shoulderOf);
    return next === undefined ? peak : hostOf(next);
  };
  const groups = new Map<FoundPeak, FoundPeak[]>();
  for (const peak of found) {
    const host = hostOf(peak);
    const group = groups.get(host);
    if (group) group.push(peak);
    else groups.set(host, [peak]);
  }
  return found.flatMap((host) => {
    const all = groups.get(host);
    if (all === undefined) return [];
    return [
      {
        ...host,
        start: Math.min(...all.map((peak) => peak.start)),
        end: Math.max(...all.map((peak) => peak.end)),
        shoulders: all.filter((peak) => peak !== host).map((peak) => peak.retentionTime),
      },
    ];
  });
}
