import type { JudgedPeak } from "./judge.js";
import { GAPS, RATIOS } from "./ladder-plan.js";
import type { Row } from "./rows.js";
import type { NoiseKind } from "./scene.js";
import { type Claimed, errorsOf, isClaimed } from "./statistics.js";

/** What the handbook measured: size of the median and the 90 % point of the error, %. */
interface Column {
  readonly median: number;
  readonly p90: number;
}

/**
 * Handbook PEAKS §6, riders behind a giant, S/N 30, as much 1/f noise; the worse of its two overloads. Undefined where
 * the column itself is beyond the 30 % that call for a refusal. 100 : 1 at 14 σ and 10 000 : 1 at 6 σ: its study.
 */
const WITHOUT_PROFILE: Readonly<Record<string, Column | undefined>> = {
  "100 6": { median: 2, p90: 8 },
  "100 9": { median: 1, p90: 7 },
  "100 14": { median: 0.5, p90: 5.1 },
  "1000 9": { median: 5, p90: 9 },
  "1000 14": { median: 6, p90: 8 },
  "10000 14": { median: 3, p90: 7 },
};
const WITH_PROFILE: Readonly<Record<string, Column | undefined>> = {
  "100 6": { median: 3, p90: 7 },
  "100 9": { median: 1, p90: 7 },
  "100 14": { median: 0.5, p90: 5.1 },
  "1000 6": { median: 3, p90: 9 },
  "1000 9": { median: 1, p90: 5 },
  "1000 14": { median: 0, p90: 8 },
  "10000 6": { median: 9.8, p90: 27.7 },
  "10000 9": { median: 5, p90: 12 },
  "10000 14": { median: 1, p90: 6 },
};
const ALLOWANCE = 3;

/** Riders by design, cell by cell: behind the giant against the handbook's columns, in front of it for a look. */
export function riderRows(peaks: readonly JudgedPeak[], noise: NoiseKind): readonly Row[] {
  const riders = peaks.filter(({ truth, scene }) => truth.rider !== undefined && scene.noise === noise);
  const rows: Row[] = [];
  for (const profile of [false, true]) {
    for (const side of ["behind", "in front"] as const) {
      for (const ratio of RATIOS) {
        for (const gap of GAPS) {
          const cell = riders.filter(
            ({ truth: { rider } }) =>
              rider?.profile === profile && rider.side === side && rider.ratio === ratio && rider.gap === gap,
          );
          if (cell.length === 0) continue;
          const column =
            side === "behind" ? (profile ? WITH_PROFILE : WITHOUT_PROFILE)[`${ratio} ${gap}`] : undefined;
          rows.push(
            riderRow(`rider ${ratio}:1, ${gap} σ ${side}${profile ? ", with profile" : ""}`, cell, column),
          );
        }
      }
    }
  }
  return rows;
}

function riderRow(name: string, cell: readonly JudgedPeak[], column: Column | undefined): Row {
  const claimed: readonly Claimed[] = cell.filter(isClaimed);
  const refused = cell.filter(({ found }) => found?.refused === true).length;
  const { median, p90 } = errorsOf(claimed);
  const numbers = claimed.length === 0 ? "–" : `${median.toFixed(1)} / ${p90.toFixed(1)} %`;
  const value = `${numbers} (${claimed.length} claimed, ${refused} refused, ${cell.length - claimed.length - refused} not found)`;
  if (column === undefined) return { name, n: cell.length, value, accept: "" };
  // Refusing them all would be no answer where the handbook's method has one.
  const answered = claimed.length >= cell.length / 2;
  const good = Math.abs(median) <= column.median + ALLOWANCE && p90 <= column.p90 + ALLOWANCE;
  return {
    name,
    n: cell.length,
    value,
    accept: `± ${(column.median + ALLOWANCE).toFixed(1)} / ${(column.p90 + ALLOWANCE).toFixed(1)} %, half claimed`,
    pass: answered && good,
  };
}
