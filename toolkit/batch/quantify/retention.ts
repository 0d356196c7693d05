import type { Injection, MethodIon } from "../types.js";

/** A peak as far as naming it needs to know. */
export interface TimedPeak {
  /** Apex, min. */
  readonly time: number;
  /** Standard uncertainty of the apex time, min. */
  readonly uTime: number;
  readonly height: number;
  /** Rough area, µS/cm·min, for the overload shift. */
  readonly area: number;
}

/** What the standards taught about where an ion elutes. */
export interface ReferenceTime {
  readonly ion: string;
  readonly charge: number;
  /** min, at the alignment state zero and vanishing amount */
  readonly time: number;
  /** Relative shift per µS/cm·min of its own area (overload pulls the apex forward). */
  readonly shiftPerArea: number;
  /** Relative scatter after alignment. */
  readonly scatter: number;
  /** From how many standards. */
  readonly readings: number;
}

/** State of one run: ln(t/t*) = common + perCharge·(|z| − 1). */
export interface Alignment {
  readonly common: number;
  readonly perCharge: number;
}

export const UNALIGNED: Alignment = { common: 0, perCharge: 0 };

/**
 * Least relative scatter believed after alignment. Standards alone look better than that, but samples bring their own
 * matrix, which pulls neighbours of a strong peak (common practice, no source).
 */
const LEAST_SCATTER = 1.5e-3;
/** A peak further than this many standard deviations from every ion is unknown: a cost of 16. */
const UNKNOWN_COST = 16;
/** Scatter assumed before the standards have taught anything better. */
const FIRST_SCATTER = 0.006;

export function expectedTime(reference: ReferenceTime, alignment: Alignment, area: number): number {
  const shift =
    alignment.common + alignment.perCharge * (reference.charge - 1) + reference.shiftPerArea * area;
  return reference.time * Math.exp(shift);
}

/** Pairs peaks with ions, both in time order, at least total cost: Σ z² with 16 for a peak left unknown. */
export function matchInOrder(
  peaks: readonly TimedPeak[],
  ions: readonly ReferenceTime[],
  alignment: Alignment,
  allowed: (peak: TimedPeak, ion: ReferenceTime) => boolean,
): readonly (number | undefined)[] {
  const n = peaks.length;
  const m = ions.length;
  const best = Array.from({ length: n + 1 }, () => new Float64Array(m + 1).fill(Number.POSITIVE_INFINITY));
  const from = Array.from({ length: n + 1 }, () => new Uint8Array(m + 1));
  best[0][0] = 0;
  for (let i = 0; i <= n; i++) {
    for (let j = 0; j <= m; j++) {
      if (i > 0 && best[i - 1][j] + UNKNOWN_COST < best[i][j]) {
        best[i][j] = best[i - 1][j] + UNKNOWN_COST;
        from[i][j] = 1;
      }
      if (j > 0 && best[i][j - 1] < best[i][j]) {
        best[i][j] = best[i][j - 1];
        from[i][j] = 2;
      }
      if (i > 0 && j > 0 && allowed(peaks[i - 1], ions[j - 1])) {
        const cost = best[i - 1][j - 1] + distance(peaks[i - 1], ions[j - 1], alignment) ** 2;
        if (cost < best[i][j]) {
          best[i][j] = cost;
          from[i][j] = 3;
        }
      }
    }
  }
  const out: (number | undefined)[] = new Array(n).fill(undefined);
  for (let i = n, j = m; i > 0 || j > 0; ) {
    const step = from[i][j];
    if (step === 3) out[--i] = --j;
    else if (step === 1) i--;
    else j--;
  }
  return out;
}

/** How much of an ion's last deviation is expected again in the next run: slow drifts differ from ion to ion. */
const FOLLOW = 0.5;

/** References as they stand in the next run, each ion moved part of the way to where it was last found. */
export function followDrift(
  references: readonly ReferenceTime[],
  current: readonly ReferenceTime[],
  peaks: readonly TimedPeak[],
  named: NamedRun,
): ReferenceTime[] {
  return references.map((reference, j) => {
    const i = named.names.indexOf(j);
    if (i < 0) return current[j];
    const found = Math.log(peaks[i].time / expectedTime(reference, named.alignment, peaks[i].area));
    const before = Math.log(current[j].time / reference.time);
    return { ...reference, time: reference.time * Math.exp(before + FOLLOW * (found - before)) };
  });
}

/** How many standard deviations a peak stands from where the ion should be. */
export function distance(peak: TimedPeak, ion: ReferenceTime, alignment: Alignment): number {
  const expected = expectedTime(ion, alignment, peak.area);
  const correction = 0.5 * Math.abs(ion.shiftPerArea * peak.area);
  const relative = Math.sqrt(ion.scatter ** 2 + correction ** 2);
  return (peak.time - expected) / Math.sqrt((relative * expected) ** 2 + peak.uTime ** 2);
}

/**
 * Alignment of one run from its named peaks: regularised least squares with Cauchy weights (scale three
 * scatters), drawn towards `prior` with a random-walk s.d. of 0.3 % common and 0.2 % per charge.
 *
 * @param start state at which the weights begin: the shift a search has found, so that a jump is no outlier
 */
export function alignRun(
  pairs: readonly { readonly peak: TimedPeak; readonly ion: ReferenceTime }[],
  prior: Alignment,
  start: Alignment = prior,
): Alignment {
  let state = start;
  for (let turn = 0; turn < 5; turn++) {
    let a11 = 1 / 0.003 ** 2;
    let a22 = 1 / 0.002 ** 2;
    let a12 = 0;
    let b1 = prior.common * a11;
    let b2 = prior.perCharge * a22;
    for (const { peak, ion } of pairs) {
      const u = Math.sqrt(ion.scatter ** 2 + (peak.uTime / peak.time) ** 2);
      const y = Math.log(peak.time / ion.time) - ion.shiftPerArea * peak.area;
      const z = ion.charge - 1;
      const r = (y - state.common - state.perCharge * z) / (3 * u);
      const w = 1 / (u * u * (1 + r * r));
      a11 += w;
      a12 += w * z;
      a22 += w * z * z;
      b1 += w * y;
      b2 += w * y * z;
    }
    const determinant = a11 * a22 - a12 * a12;
    state = { common: (b1 * a22 - b2 * a12) / determinant, perCharge: (a11 * b2 - a12 * b1) / determinant };
  }
  return state;
}

/** Peaks of one run with their names and the run's alignment. */
export interface NamedRun {
  readonly alignment: Alignment;
  /** Index into the references for each peak; undefined for peaks without a name. */
  readonly names: readonly (number | undefined)[];
}

/**
 * Names the peaks of one run: a shift search over −4…+4 % in steps of 0.25 % around the prior, then matching,
 * alignment drawn towards the shift found (a fresh eluent is a jump, no outlier), and matching again. A name needs the method's window as well, on the raw or on the aligned time.
 */
export function nameRun(
  peaks: readonly TimedPeak[],
  references: readonly ReferenceTime[],
  windows: readonly MethodIon[],
  prior: Alignment,
): NamedRun {
  const allowedAt = (state: Alignment) => (peak: TimedPeak, reference: ReferenceTime) => {
    const ion = windows[references.indexOf(reference)];
    const aligned = peak.time * Math.exp(-state.common - state.perCharge * (reference.charge - 1));
    return (
      Math.abs(peak.time - ion.retentionTime) <= ion.window ||
      Math.abs(aligned - ion.retentionTime) <= ion.window
    );
  };
  let best: { cost: number; state: Alignment } = { cost: Number.POSITIVE_INFINITY, state: prior };
  for (let k = -16; k <= 16; k++) {
    const state = { common: prior.common + 0.0025 * k, perCharge: prior.perCharge };
    const names = matchInOrder(peaks, references, state, allowedAt(state));
    const cost = costOf(peaks, references, names, state) + ((0.0025 * k) / 0.006) ** 2;
    if (cost < best.cost) best = { cost, state };
  }
  let state = best.state;
  let names = matchInOrder(peaks, references, state, allowedAt(state));
  for (let turn = 0; turn < 3; turn++) {
    const pairs = names.flatMap((j, i) => (j === undefined ? [] : [{ peak: peaks[i], ion: references[j] }]));
    state = alignRun(pairs, best.state, state);
    names = matchInOrder(peaks, references, state, allowedAt(state));
  }
  return { alignment: state, names };
}

function costOf(
  peaks: readonly TimedPeak[],
  references: readonly ReferenceTime[],
  names: readonly (number | undefined)[],
  state: Alignment,
): number {
  let cost = 0;
  for (let i = 0; i < peaks.length; i++) {
    const j = names[i];
    cost += j === undefined ? UNKNOWN_COST : distance(peaks[i], references[j], state) ** 2;
  }
  return cost;
}

/** Where each ion of the method elutes before any standard has been looked at: the method's own word. */
export function firstReferences(
  ions: readonly MethodIon[],
  chargeOf: (ion: string) => number,
): ReferenceTime[] {
  return ions.map((ion) => ({
    ion: ion.ion,
    charge: Math.abs(chargeOf(ion.ion)),
    time: ion.retentionTime,
    shiftPerArea: 0,
    scatter: Math.max(FIRST_SCATTER, (0.4 * ion.window) / ion.retentionTime / 4),
    readings: 0,
  }));
}

/**
 * Sharpens the references by the standards: time and overload shift by robust regression of ln(t) on area,
 * each run's alignment taken off; scatter from what remains.
 */
export function learnReferences(
  references: readonly ReferenceTime[],
  runs: readonly {
    readonly injection: Injection;
    readonly peaks: readonly TimedPeak[];
    readonly named: NamedRun;
  }[],
): ReferenceTime[] {
  return references.map((reference, j) => {
    const readings = runs.flatMap(({ peaks, named }) => {
      const i = named.names.indexOf(j);
      if (i < 0) return [];
      const state = named.alignment;
      const y = Math.log(peaks[i].time) - state.common - state.perCharge * (reference.charge - 1);
      const u = Math.sqrt(LEAST_SCATTER ** 2 + (peaks[i].uTime / peaks[i].time) ** 2);
      return [{ y, u, x: peaks[i].area }];
    });
    if (readings.length < 3)
      return readings.length === 0 ? reference : { ...reference, readings: readings.length };
    const line = robustLine(readings);
    return {
      ...reference,
      time: Math.exp(line.level),
      shiftPerArea: Math.abs(line.slope) > 2 * line.uSlope ? line.slope : 0,
      scatter: Math.max(LEAST_SCATTER, line.scatter),
      readings: readings.length,
    };
  });
}

function robustLine(points: readonly { readonly x: number; readonly y: number; readonly u: number }[]) {
  let level = points[0].y;
  let slope = 0;
  let uSlope = 0;
  let scatter = LEAST_SCATTER;
  for (let turn = 0; turn < 6; turn++) {
    let [sw, sx, sy, sxx, sxy] = [0, 0, 0, 0, 0];
    for (const p of points) {
      const r = (p.y - level - slope * p.x) / (3 * Math.max(p.u, scatter));
      const w = 1 / (p.u * p.u * (turn === 0 ? 1 : 1 + r * r));
      sw += w;
      sx += w * p.x;
      sy += w * p.y;
      sxx += w * p.x * p.x;
      sxy += w * p.x * p.y;
    }
    const determinant = sw * sxx - sx * sx;
    if (!(determinant > 1e-9 * sw * sxx)) break;
    slope = (sw * sxy - sx * sy) / determinant;
    level = (sy - slope * sx) / sw;
    uSlope = Math.sqrt(sw / determinant);
    const deviations = points
      .map((p) => Math.abs(p.y - level - slope * p.x) / Math.max(p.u / LEAST_SCATTER, 1))
      .sort((a, b) => a - b);
    scatter = 1.4826 * deviations[deviations.length >> 1];
  }
  return { level, slope, uSlope, scatter };
}
