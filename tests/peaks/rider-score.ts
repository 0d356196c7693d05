// Riders of known area measured without and with the profile of their giant, and the table of how that went.

import {
  measureRider,
  type RiderMeasurement,
  type RiderOptions,
} from "../../toolkit/peaks/riders/rider-area.js";
import type { RiderWindow } from "../../toolkit/peaks/riders/rider-window.js";
import { centreFromApex } from "../../toolkit/peaks/shape/integration-window.js";
import { gaussianSmooth } from "../../toolkit/signal/smooth.js";
import {
  type GiantForm,
  type PinkShare,
  type RiderScene,
  riderScene,
  SIGMA,
  scatterBy,
} from "./rider-scenes.js";

export interface Cell {
  readonly form: GiantForm;
  /** Area of the giant over that of the rider. */
  readonly ratio: number;
  /** Apex to apex in σ; before the giant when negative. */
  readonly gap: number;
  readonly pink: PinkShare;
}

/** One rider measured in three ways. */
export interface Scored {
  readonly cell: Cell;
  readonly alone: Outcome;
  readonly profile: Outcome;
  /** What the rule makes of it where a profile is given. */
  readonly given: Outcome;
}

export interface Outcome {
  /** Relative. */
  readonly error: number;
  readonly covered: boolean;
  readonly refused: boolean;
  readonly bounded: boolean;
}

export const FORMS: readonly GiantForm[] = [
  "slow exponentials",
  "overloaded, slow exponentials",
  "power law",
  "log-normal",
  "leading edge",
];
export const NOISES: readonly PinkShare[] = [0, 1, 3];

export function scoreScene(seed: string, cell: Cell): Scored {
  const scene = riderScene(seed, cell.form, cell.ratio, cell.gap, cell.pink);
  const window = windowOf(scene, cell.gap > 0);
  const { values, apex } = scene.alone;
  const profile = { values, apex, step: 1 };
  const scatterOf = (weights: Float64Array) => scatterBy(scene.covariance, weights);
  const measure = (options: Omit<RiderOptions, "scatterOf">) =>
    measureRider(window, 0, { ...options, scatterOf });
  const ruled = measure({ profile });
  const over = "rider over measured profile";
  return {
    cell,
    alone: outcomeOf(measure({}), scene.area),
    given: outcomeOf(ruled, scene.area),
    profile: outcomeOf(ruled.model === over ? ruled : measure({ profile, background: over }), scene.area),
  };
}

function outcomeOf(measured: RiderMeasurement, truth: number): Outcome {
  const { area, uNoise, uBackground, uShape, refusal, bound } = measured;
  return {
    error: area / truth - 1,
    covered: Math.abs(area - truth) <= 2 * Math.hypot(uNoise, uBackground, uShape),
    refused: refusal !== undefined,
    bounded: truth <= bound,
  };
}

export function windowOf({ y, giant, rider, white }: RiderScene, behind: boolean): RiderWindow {
  const [from, to] = behind
    ? [giant.apex - 5 * SIGMA, rider.apex + 16 * SIGMA]
    : [rider.apex - 14 * SIGMA, giant.apex + 5 * SIGMA];
  const first = Math.max(0, Math.round(from));
  const last = Math.min(y.length - 1, Math.round(to));
  return {
    y: y.slice(first, last + 1),
    smooth: gaussianSmooth(y, 0.3 * SIGMA).slice(first, last + 1),
    riders: [{ ...rider, mu: centreFromApex(rider.apex, rider) - first, present: true, adjustable: false }],
    giant: { apex: giant.apex - first, sigma: giant.sigma, height: giant.height },
    white,
  };
}

export type Way = "alone" | "profile" | "given";

/** Share of the riders that were not refused whose truth lies within ± 2 u. */
export function coverageOf(scored: readonly Scored[], way: Way): number {
  const kept = scored.filter((s) => !s[way].refused);
  return kept.filter((s) => s[way].covered).length / kept.length;
}

/** Share of the riders off by more than 30 % that were refused, and of the better ones that were refused needlessly. */
export function refusalsOf(scored: readonly Scored[], ways: readonly Way[]) {
  const all = scored.flatMap((s) => ways.map((way) => s[way]));
  const off = all.filter(({ error }) => Math.abs(error) > 0.3);
  const good = all.filter(({ error }) => Math.abs(error) <= 0.3);
  const share = (some: readonly Outcome[]) => some.filter(({ refused }) => refused).length / some.length;
  return { off: off.length, refused: share(off), needless: share(good) };
}

/** Median and 90 % quantile of the absolute error, %. */
export function errorsOf(scored: readonly Scored[], way: Way): readonly [median: number, p90: number] {
  const errors = scored.map((s) => 100 * s[way].error).sort((a, b) => a - b);
  const absolute = errors.map(Math.abs).sort((a, b) => a - b);
  const middle = 0.5 * (errors[(errors.length - 1) >> 1] + errors[errors.length >> 1]);
  return [middle, absolute[Math.min(absolute.length - 1, Math.floor(0.9 * absolute.length))]];
}

/** One line for each ratio, gap and form: errors at equal 1/f noise, coverage and refusals at all noises. */
export function riderTable(scored: readonly Scored[]): string {
  const groups = new Map<string, Scored[]>();
  for (const s of scored) {
    const { ratio, gap, form } = s.cell;
    const key = `${String(ratio).padStart(5)} ${String(gap).padStart(3)}  ${form.padEnd(30)}`;
    groups.set(key, [...(groups.get(key) ?? []), s]);
  }
  const percent = (x: number) => (Number.isFinite(x) ? (100 * x).toFixed(0) : "–").padStart(4);
  const lines = [...groups].map(([key, all]) => {
    const equal = all.filter(({ cell }) => cell.pink === 1);
    const refused = (way: Way) => all.filter((s) => s[way].refused).length / all.length;
    const columns = (["alone", "profile"] as const).map((way) => {
      const [median, p90] = errorsOf(equal, way);
      const error = `${median.toFixed(0).padStart(5)} /${p90.toFixed(0).padStart(5)}`;
      return `${error}  ${percent(coverageOf(all, way))} ${percent(refused(way))}`;
    });
    const { off, refused: caught } = refusalsOf(all, ["alone", "profile"]);
    return `${key} ${columns.join("   | ")}   | ${String(off).padStart(4)} ${percent(caught)}`;
  });
  const head =
    "ratio gap  tail                             without: median/p90 %, ±2u %, refused % | profile: the same   | > 30 % off, of these refused %";
  return [head, ...lines].join("\n");
}
