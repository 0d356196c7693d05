import { IonbookError } from "../../errors.js";
import { median } from "../../numeric/robust.js";
import type { Channel, Results, UnknownPeak } from "../types.js";
import type { BlankPeak, RegisteredUnknown, UnknownAbout, UnknownRegister } from "../unknown-types.js";
import { companions } from "./about-unknowns.js";
import { alignedTime, namedTimes } from "./batch-alignment.js";
import type { NamedTime } from "./unknown-place.js";
import { unknownPlace } from "./unknown-place.js";
import { makeRegister } from "./unknown-register.js";

/**
 * Two peaks of different batches are one where their aligned times differ by less than 3·√2·s and their widths by less
 * than this factor (a peak of the previous injection is half again as wide: common practice, no source).
 */
const SCATTER = 0.002;
const REACH = 3 * Math.SQRT2 * SCATTER;
const WIDTH_RATIO = 1.4;
/** A peak that so many of the blanks show is the blanks' own. */
const BLANK_SHARE = 0.5;

interface Sight {
  readonly results: Results;
  readonly batch: string;
  readonly unknown: UnknownPeak;
  readonly time: number;
}

interface Cluster {
  readonly channel: Channel;
  readonly system: string;
  readonly sights: Sight[];
}

/**
 * The unidentified peaks of one or several evaluations under one set of names: `unknown-1`, … by first appearance.
 *
 * A peak of a later batch is an earlier one where both are of one channel and eluent, their times agree within 0.85 %
 * after alignment on the ions named in both batches, and their widths within a factor of 1.4; of several the nearest, and
 * never two peaks of one batch. Peaks that at least half of a batch's blanks show are listed apart, as the blanks' own.
 *
 * @param evaluations results of `quantify`, in any order
 * @throws IonbookError "no-results"
 * @source clustering by single linkage on aligned retention: common practice, no source
 */
export function followUnknowns(evaluations: Results | readonly Results[]): UnknownRegister {
  const list = inOrder(evaluations);
  const labels = labelsOf(list);
  const clusters: Cluster[] = [];
  const references = new Map<string, readonly NamedTime[]>();
  list.forEach((results, i) => {
    for (const { method } of results.batches) {
      const system = `${method.channel} ${method.eluent?.kind ?? ""}`;
      const own = namedTimes(results, method.channel);
      const reference = references.get(system) ?? own;
      references.set(system, reference);
      const sights = results.unknowns
        .filter(({ channel }) => channel === method.channel)
        .map((unknown) => ({
          results,
          batch: labels[i],
          unknown,
          time: alignedTime(unknown.retentionTime, own, reference),
        }));
      join(clusters, sights, method.channel, system);
    }
  });
  const names = new Map(clusters.map((cluster, i) => [cluster, `unknown-${i + 1}`]));
  const samplesOf = new Map(clusters.map((cluster) => [names.get(cluster) ?? "", samplesShowing(cluster)]));
  const unknowns = clusters.map((cluster) =>
    registered(cluster, names.get(cluster) ?? "", samplesOf, references.get(cluster.system) ?? []),
  );
  return makeRegister({
    unknowns,
    ofBlanks: list.flatMap((each, i) => blankPeaks(each, labels[i])),
    namings: [],
  });
}

function inOrder(evaluations: Results | readonly Results[]): readonly Results[] {
  const list: readonly unknown[] = Array.isArray(evaluations) ? evaluations : [evaluations];
  const known = list.filter((each): each is Results => {
    return typeof each === "object" && each !== null && "kind" in each && each.kind === "results";
  });
  if (known.length === list.length && list.length > 0)
    return [...known].sort((a, b) => (startOf(a) < startOf(b) ? -1 : 1));
  throw new IonbookError(
    "no-results",
    "followUnknowns needs what quantify gives, one or several: followUnknowns([await quantify(january), await quantify(march)])",
  );
}

function startOf(results: Results): string {
  return (
    results.batches.flatMap(({ injections }) => injections.map(({ injectedAt }) => injectedAt)).sort()[0] ??
    ""
  );
}

/** Titles tell batches apart; where two are equal, a number does. */
function labelsOf(list: readonly Results[]): readonly string[] {
  return list.map(({ title }, i) => {
    const before = list.slice(0, i).filter((each) => each.title === title).length;
    return before === 0 ? title : `${title} (${before + 1})`;
  });
}

/** Adds the peaks of one batch: pairs of least distance first, each peak and each cluster once. */
function join(clusters: Cluster[], sights: readonly Sight[], channel: Channel, system: string): void {
  const rivals = clusters.filter((cluster) => cluster.system === system);
  const pairs = sights
    .flatMap((sight) => rivals.map((cluster) => ({ sight, cluster, distance: distanceOf(sight, cluster) })))
    .filter(({ distance }) => distance < REACH)
    .sort((a, b) => a.distance - b.distance);
  const taken = new Set<Sight | Cluster>();
  for (const { sight, cluster } of pairs) {
    if (taken.has(sight) || taken.has(cluster)) continue;
    taken.add(sight).add(cluster);
    cluster.sights.push(sight);
  }
  for (const sight of sights) if (!taken.has(sight)) clusters.push({ channel, system, sights: [sight] });
}

/** Relative distance of aligned times; endless where the widths differ too much. */
function distanceOf(sight: Sight, { sights }: Cluster): number {
  const width = sight.unknown.about?.widthHalf;
  const theirs = widthOf(sights);
  if (width !== undefined && theirs !== undefined && Math.max(width / theirs, theirs / width) > WIDTH_RATIO) {
    return Number.POSITIVE_INFINITY;
  }
  return Math.abs(Math.log(sight.time / median(sights.map(({ time }) => time))));
}

function widthOf(sights: readonly Sight[]): number | undefined {
  const widths = sights.flatMap(({ unknown }) => unknown.about?.widthHalf ?? []);
  return widths.length === 0 ? undefined : median(widths);
}

function registered(
  cluster: Cluster,
  name: string,
  samplesOf: ReadonlyMap<string, ReadonlySet<string>>,
  reference: readonly NamedTime[],
): RegisteredUnknown {
  const { sights, channel } = cluster;
  const about = sights.flatMap(({ unknown }) => unknown.about ?? []);
  const time = median(sights.map((sight) => sight.time));
  const total = (pick: (each: UnknownAbout) => number) => about.reduce((sum, each) => sum + pick(each), 0);
  const method = sights[0].results.batches.find((batch) => batch.method.channel === channel)?.method;
  return {
    name,
    channel,
    retentionTime: time,
    widthHalf: widthOf(sights),
    batches: sights.map(({ batch, unknown }) => ({
      batch,
      name: unknown.name,
      retentionTime: unknown.retentionTime,
    })),
    injections: total(({ injections }) => injections),
    samples: total(({ samples }) => samples),
    blanks: { seen: total(({ blanks }) => blanks.seen), of: total(({ blanks }) => blanks.of) },
    firstSeen: about.map(({ firstSeen }) => firstSeen).sort()[0] ?? "",
    lastSeen:
      about
        .map(({ lastSeen }) => lastSeen)
        .sort()
        .at(-1) ?? "",
    largest: about
      .flatMap(({ largest }) => largest ?? [])
      .sort((a, b) => b.microequivalents.value - a.microequivalents.value)[0],
    seenWith: companions(name, samplesOf),
    place: unknownPlace(time, reference, {
      channel,
      eluent: method?.eluent?.kind,
      ions: method?.ions.map(({ ion }) => ion) ?? [],
    }),
    knownAs: undefined,
  };
}

function samplesShowing({ sights }: Cluster): ReadonlySet<string> {
  return new Set(
    sights.flatMap(({ batch, unknown }) =>
      unknown.seenIn.flatMap(({ sample }) => (sample === undefined ? [] : [JSON.stringify([batch, sample])])),
    ),
  );
}

function blankPeaks(results: Results, batch: string): BlankPeak[] {
  return results.batches.flatMap(({ method: { channel } }) => {
    const blanks = [...results.traces.values()].filter(
      (trace) => trace.channel === channel && trace.injection.kind === "blank",
    );
    const names = new Set(
      blanks.flatMap(({ peaks }) =>
        peaks.flatMap(({ ion, identity, flags }) =>
          identity === "unknown" || (identity === "system" && !flags.includes("void dip")) ? [ion] : [],
        ),
      ),
    );
    return [...names].flatMap((name): BlankPeak[] => {
      const times = blanks.flatMap(({ peaks }) =>
        peaks
          .filter(({ ion }) => ion === name)
          .slice(0, 1)
          .map(({ retentionTime }) => retentionTime),
      );
      if (times.length < BLANK_SHARE * blanks.length) return [];
      return [{ name, batch, channel, retentionTime: median(times), seen: times.length, of: blanks.length }];
    });
  });
}
