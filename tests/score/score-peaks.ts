import type { PeakRow, ResultFiles } from "./result-files.js";
import type { BatchTruth, InvestigationTruth, TruePeak } from "./truth.js";

/** Something about one peak that a person should look at. */
export interface PeakRemark {
  readonly generator: string;
  readonly seed: number;
  readonly injection: string;
  readonly what: string;
}

/** Area of a rightly named peak beside the true one, µS/cm·min. */
export interface JudgedArea {
  readonly channel: string;
  readonly ion: string;
  readonly seed: number;
  readonly injection: string;
  readonly truth: number;
  readonly found: number;
  readonly u: number;
}

export interface PeaksJudged {
  readonly injections: number;
  /** For a look at the integration alone, which calibration with the same rules may cancel again. */
  readonly areas: readonly JudgedArea[];
  /** Unidentified peaks that must be kept. */
  readonly unknowns: number;
  readonly lost: readonly PeakRemark[];
  /** Peaks of no target that were given an ion's name. */
  readonly named: readonly PeakRemark[];
  /** Reported peaks where nothing is. */
  readonly falsePeaks: readonly PeakRemark[];
  /** One unidentified substance under several names, or several under one. */
  readonly confused: readonly PeakRemark[];
}

/** Heights over noise from which an unidentified peak must be kept, and below which nothing is judged. */
export const MUST_KEEP = 10;
const TOO_SMALL_TO_EXIST = 2;
/** Reported peaks of a smaller signal to noise are readings of a window, not claims that a peak is there. */
const CLAIM = 3;
/** Apexes this far apart, in half-height widths of the true peak, still are the same peak (1.5 σ of a Gaussian). */
const SAME_PEAK = 0.64;

interface Pair {
  readonly truth: TruePeak;
  readonly found: PeakRow;
}

/** One-to-one pairs of true and reported peaks of one injection, nearest first. */
export function pairPeaks(truths: readonly TruePeak[], found: readonly PeakRow[]): readonly Pair[] {
  const candidates = truths
    .flatMap((truth) =>
      found.map((peak) => ({
        truth,
        found: peak,
        distance: Math.abs(peak.retentionTime - truth.retentionTime) / truth.widthHalf,
      })),
    )
    .filter(({ distance }) => distance <= SAME_PEAK)
    .sort((a, b) => a.distance - b.distance);
  const taken = new Set<TruePeak | PeakRow>();
  return candidates.filter((pair) => {
    if (taken.has(pair.truth) || taken.has(pair.found)) return false;
    taken.add(pair.truth).add(pair.found);
    return true;
  });
}

function isUnknownName(name: string): boolean {
  return /^unknown-\d+$/.test(name);
}

function isSystemName(name: string): boolean {
  return /^system-\d+$/.test(name);
}

interface InjectionJudged {
  readonly pairs: readonly Pair[];
  readonly unknowns: number;
  readonly lost: readonly string[];
  readonly named: readonly string[];
  readonly falsePeaks: readonly string[];
  readonly aliases: readonly (readonly [trueName: string, foundName: string])[];
}

function describeTrue(peak: TruePeak): string {
  return `${peak.name} at ${peak.retentionTime.toFixed(3)} min, ${(peak.height * 1000).toFixed(1)} nS/cm`;
}

/** A reported peak where nothing is, and what is nearby: a system peak taken for more, or nothing at all. */
function describeStray(peak: PeakRow, truths: readonly TruePeak[]): string {
  const system = truths.find(
    ({ kind, retentionTime, widthHalf }) =>
      kind === "system" && Math.abs(retentionTime - peak.retentionTime) < (widthHalf || 0.5),
  );
  const beside = system === undefined ? "" : `, on ${system.name} at ${system.retentionTime.toFixed(3)} min`;
  return `${peak.ion} at ${peak.retentionTime.toFixed(3)} min, S/N ${peak.signalToNoise.toFixed(1)}${beside}`;
}

function judgeInjection(
  truths: readonly TruePeak[],
  reported: readonly PeakRow[],
  noise: number,
): InjectionJudged {
  const present = truths.filter((peak) => peak.kind !== "system" && peak.height > TOO_SMALL_TO_EXIST * noise);
  const claims = reported.filter((peak) => !(peak.signalToNoise < CLAIM));
  const pairs = pairPeaks(present, claims);
  const partner = new Map(pairs.map(({ truth, found }) => [truth, found]));
  const unknowns = present.filter((peak) => peak.kind === "unknown");
  const must = unknowns.filter((peak) => peak.visible && peak.height >= MUST_KEEP * noise);
  const nameOf = (peak: TruePeak) => partner.get(peak)?.ion;
  const isNamed = (peak: TruePeak) => {
    const name = nameOf(peak);
    return name !== undefined && !isUnknownName(name) && !isSystemName(name);
  };
  const paired = new Set(pairs.map(({ found }) => found));
  const stray = claims.filter((peak) => !paired.has(peak) && !isSystemName(peak.ion));
  return {
    pairs,
    unknowns: must.length,
    lost: must
      .filter((peak) => !isNamed(peak) && !isUnknownName(nameOf(peak) ?? ""))
      .map(
        (peak) =>
          `${describeTrue(peak)}${nameOf(peak) === undefined ? " is not reported" : ` is called ${nameOf(peak)}`}`,
      ),
    named: unknowns.filter(isNamed).map((peak) => `${describeTrue(peak)} is called ${nameOf(peak)}`),
    falsePeaks: stray.map((peak) => describeStray(peak, truths)),
    aliases: unknowns.flatMap((peak): [string, string][] => {
      const name = nameOf(peak);
      return name !== undefined && isUnknownName(name) ? [[peak.name, name]] : [];
    }),
  };
}

/** Substances whose names wandered: pairs of true and reported names that are not one to one over the batch. */
function confusedNames(aliases: readonly (readonly [string, string])[]): string[] {
  const out: string[] = [];
  for (const side of [0, 1] as const) {
    const other = side === 0 ? 1 : 0;
    for (const name of new Set(aliases.map((pair) => pair[side]))) {
      const partners = new Set(aliases.filter((pair) => pair[side] === name).map((pair) => pair[other]));
      if (partners.size > 1) out.push(`${name} goes with ${[...partners].join(", ")}`);
    }
  }
  return out;
}

function judgeBatch(truth: InvestigationTruth, batch: BatchTruth, files: ResultFiles): PeaksJudged {
  const lost: PeakRemark[] = [];
  const named: PeakRemark[] = [];
  const falsePeaks: PeakRemark[] = [];
  const aliases: (readonly [string, string])[] = [];
  const areas: JudgedArea[] = [];
  let unknowns = 0;
  const remark =
    (injection: string) =>
    (what: string): PeakRemark => ({ generator: truth.generator, seed: truth.seed, injection, what });
  for (const injection of batch.injections) {
    const truths = batch.peaks.filter((peak) => peak.injection === injection);
    const reported = files.peaks.filter((peak) => peak.injection === injection);
    const judged = judgeInjection(truths, reported, batch.noise);
    unknowns += judged.unknowns;
    for (const { truth: real, found } of judged.pairs) {
      if (real.name !== found.ion) continue;
      const { seed } = truth;
      areas.push({
        channel: batch.channel,
        ion: real.name,
        seed,
        injection,
        truth: real.area,
        found: found.area,
        u: found.uArea,
      });
    }
    lost.push(...judged.lost.map(remark(injection)));
    named.push(...judged.named.map(remark(injection)));
    falsePeaks.push(...judged.falsePeaks.map(remark(injection)));
    aliases.push(...judged.aliases);
  }
  const confused = confusedNames(aliases).map(remark(batch.channel));
  return { injections: batch.injections.length, areas, unknowns, lost, named, falsePeaks, confused };
}

/** What became of the peaks of an investigation. */
export function judgePeaks(truth: InvestigationTruth, files: ResultFiles): PeaksJudged {
  return joinPeaks(truth.batches.map((batch) => judgeBatch(truth, batch, files)));
}

/** Several judgements as one. */
export function joinPeaks(parts: readonly PeaksJudged[]): PeaksJudged {
  return {
    injections: parts.reduce((sum, part) => sum + part.injections, 0),
    areas: parts.flatMap((part) => part.areas),
    unknowns: parts.reduce((sum, part) => sum + part.unknowns, 0),
    lost: parts.flatMap((part) => part.lost),
    named: parts.flatMap((part) => part.named),
    falsePeaks: parts.flatMap((part) => part.falsePeaks),
    confused: parts.flatMap((part) => part.confused),
  };
}
