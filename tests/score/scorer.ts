import type { ResultFiles } from "./result-files.js";
import { joinPeaks, judgePeaks, type PeaksJudged } from "./score-peaks.js";
import { type JudgedResult, judgeResults, SAFELY_ABOVE } from "./score-results.js";
import type { InvestigationTruth } from "./truth.js";

/** One thing that is asked of the evaluation, and how it did. */
export interface Criterion {
  readonly claim: string;
  readonly asked: string;
  readonly value: number;
  readonly passed: boolean;
}

export interface Score {
  readonly investigations: number;
  readonly judged: readonly JudgedResult[];
  readonly malformed: readonly string[];
  readonly peaks: PeaksJudged;
  readonly absentQuantified: readonly JudgedResult[];
  readonly missed: readonly JudgedResult[];
  /** Inside the range at one of the dilutions, and yet reported as above range. */
  readonly wronglyAbove: readonly JudgedResult[];
  readonly criteria: readonly Criterion[];
  readonly passed: boolean;
}

export function quantified(judged: readonly JudgedResult[]): readonly JudgedResult[] {
  return judged.filter(({ status }) => status === "quantified");
}

/** Share of the 95 % intervals that hold the truth. */
export function coverage(judged: readonly JudgedResult[]): number {
  return judged.filter(({ inside }) => inside).length / judged.length;
}

/** Root mean square of (found − true)/u. */
export function rootMeanSquare(judged: readonly JudgedResult[]): number {
  return Math.sqrt(judged.reduce((sum, { z }) => sum + z * z, 0) / judged.length);
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length / 2;
  return sorted.length % 2 === 1 ? sorted[Math.floor(half)] : (sorted[half - 1] + sorted[half]) / 2;
}

/** Median u/value of the quantified results whose true content is above five times their own limit. */
export function medianRelativeU(judged: readonly JudgedResult[]): number {
  return median(
    judged.filter(({ timesLimit }) => timesLimit > SAFELY_ABOVE).map(({ relativeU }) => relativeU),
  );
}

function within(claim: string, value: number, low: number, high: number, asked: string): Criterion {
  return { claim, asked, value, passed: value >= low && value <= high };
}

function none(claim: string, list: readonly unknown[]): Criterion {
  return within(claim, list.length, 0, 0, "0");
}

/** The score of one investigation. */
export function scoreInvestigation(truth: InvestigationTruth, files: ResultFiles): Score {
  const { judged, malformed } = judgeResults(truth, files);
  return summarize(1, judged, malformed, judgePeaks(truth, files));
}

/** Many investigations as one score: everything is counted anew over all their results. */
export function joinScores(scores: readonly Score[]): Score {
  return summarize(
    scores.reduce((sum, { investigations }) => sum + investigations, 0),
    scores.flatMap(({ judged }) => judged),
    scores.flatMap(({ malformed }) => malformed),
    joinPeaks(scores.map(({ peaks }) => peaks)),
  );
}

function summarize(
  investigations: number,
  judged: readonly JudgedResult[],
  malformed: readonly string[],
  peaks: PeaksJudged,
): Score {
  const counted = quantified(judged);
  const absentQuantified = counted.filter(({ truth }) => truth === 0);
  const unseen = judged.filter(({ reachable, status }) => reachable && status !== "quantified");
  const wronglyAbove = unseen.filter(({ status }) => status === "above range");
  const missed = unseen.filter(({ status }) => status !== "above range");
  const criteria: Criterion[] = [
    none("rows missing, doubled or in a wrong unit", malformed),
    within(
      "truth inside the 95 % interval, quantified results",
      coverage(counted),
      0.92,
      0.98,
      "0.92 – 0.98",
    ),
    within("root mean square of (found − true)/u", rootMeanSquare(counted), 0.8, 1.2, "0.8 – 1.2"),
    within("median u/value above five limits", medianRelativeU(counted), 0, 0.02, "≤ 0.02"),
    none("absent ions quantified", absentQuantified),
    none("ions above five limits missed", missed),
    none("unidentified peaks lost", peaks.lost),
    none("unidentified peaks given an ion's name", peaks.named),
    none("unidentified peaks under changing names", peaks.confused),
    within("false peaks per injection", peaks.falsePeaks.length / peaks.injections, 0, 0.1, "≤ 0.10"),
  ];
  const passed = criteria.every((criterion) => criterion.passed);
  return {
    investigations,
    judged,
    malformed,
    peaks,
    absentQuantified,
    missed,
    wronglyAbove,
    criteria,
    passed,
  };
}
