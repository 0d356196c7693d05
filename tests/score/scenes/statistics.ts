import { median } from "../../../toolkit/numeric/robust.js";
import type { JudgedPeak } from "./judge.js";

/** A peak that was found and whose area is claimed. */
export type Claimed = JudgedPeak & { readonly found: NonNullable<JudgedPeak["found"]> };

export function isClaimed(one: JudgedPeak): one is Claimed {
  return one.found !== undefined && !one.found.refused;
}

/** The q-quantile of a list, between its members. */
export function quantile(values: readonly number[], q: number): number {
  if (values.length === 0) return Number.NaN;
  const sorted = [...values].sort((a, b) => a - b);
  const place = q * (sorted.length - 1);
  const low = Math.floor(place);
  const high = Math.min(low + 1, sorted.length - 1);
  return sorted[low] + (place - low) * (sorted[high] - sorted[low]);
}

/** Area errors in %: how many, the median, and the 90 % point of their size. */
export interface ErrorSummary {
  readonly n: number;
  readonly median: number;
  readonly p90: number;
}

export function errorsOf(peaks: readonly Claimed[]): ErrorSummary {
  const errors = peaks.map(({ found }) => 100 * found.error);
  if (errors.length === 0) return { n: 0, median: Number.NaN, p90: Number.NaN };
  return { n: errors.length, median: median(errors), p90: quantile(errors.map(Math.abs), 0.9) };
}

/** A share with its count and its standard error. */
export interface Share {
  readonly n: number;
  readonly hits: number;
  readonly share: number;
  readonly standardError: number;
}

export function shareOf<T>(list: readonly T[], holds: (one: T) => boolean): Share {
  const n = list.length;
  const hits = list.filter(holds).length;
  const share = hits / n;
  return { n, hits, share, standardError: Math.sqrt((share * (1 - share)) / n) };
}

/** Mean of z²: 1 for honest uncertainties. */
export function chiSquared(peaks: readonly Claimed[]): number {
  return peaks.reduce((sum, { found }) => sum + found.z ** 2, 0) / peaks.length;
}
