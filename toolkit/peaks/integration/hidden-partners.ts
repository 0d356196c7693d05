import { type ClusterFit, fitEmgCluster, type PeakStart } from "../fitting/emg-cluster.js";
import { fitCluster } from "../fitting/fit-cluster.js";
import { emgApexShift } from "../shape/emg.js";
import { hvlKernel } from "../shape/hvl-kernel.js";
import { centreFromApex, valleyBetween } from "../shape/integration-window.js";
import { giantBeside } from "./giant.js";
import { smoothFor } from "./integrate.js";
import { type IntegrateOptions, noiseOf, type PlacedPeak, type Prepared, prepare } from "./placed-peak.js";
import { surroundings } from "./surroundings.js";

/** A second peak without a maximum of its own inside what was found as one; lengths in samples. */
export interface HiddenPartner {
  /** Which of the peaks it leans on. */
  readonly host: number;
  readonly apex: number;
  readonly height: number;
  readonly area: number;
  /** Whether it pays for its parameters and so is a peak of its own. */
  readonly accepted: boolean;
  /** The figures that decided. */
  readonly because: string;
}

export interface PartnerOptions extends IntegrateOptions {
  /** Standard deviation of a reading about the baseline. */
  readonly spread: number;
  /** Look for partners where none was seen. */
  readonly unseen: boolean;
}

/** Order selection, as in `choosePeakCount`: fall of BIC, area in u, distance in σ. */
const LEAST_DROP = 6;
const LEAST_AREA = 3;
const LEAST_DISTANCE = 0.5;
/** How far the curve of a single peak may miss it, relative to its height: real tails are no exponentials. */
const MISFIT = 0.01;
/** Freedom of a shape that standards have shown. */
const KNOWN_SHAPE = { lnSigma: 0.08, lnTau: 0.3 };
/** Where a partner that was not seen is tried, in σ. */
const BESIDE = [-4, -3.2, -2.7, 2.7, 3.2, 4];
/** What is nearer, in σ, and was not seen cannot be told from a wider or overloaded peak. */
const NEAREST_UNSEEN = 2.5;
/** Mean square of the residuals over what noise and misfit explain, from which a partner is looked for. */
const UNEXPLAINED = 1.2;
/** Beside a neighbour so many times higher a peak is a rider, and the background decides. */
const RIDER_RATIO = 10;
/** Peaks fitted at once. */
const MOST_MEMBERS = 4;

/**
 * Partners that the peaks of a record hide: for each seen shoulder, and where it is asked for, for each peak whose known
 * shape leaves a residual that its noise does not explain, a second peak of the same shape is tried.
 *
 * It is accepted by order selection: BIC over independent readings falls by more than 6, against a single peak and against
 * a single overloaded one, its area is above 3 u, and it stands more than 0.5 σ away. Residuals within 1 % of the
 * height count as explained.
 *
 * @param seen for each peak the apexes of the shoulders that lean on it
 */
export function hiddenPartners(
  y: Float64Array,
  peaks: readonly PlacedPeak[],
  seen: readonly (readonly number[])[],
  options: PartnerOptions,
): readonly HiddenPartner[] {
  const smooth = smoothFor(y, peaks);
  const prepared = peaks.map((peak) => prepare(y, smooth, peak, options.white));
  return prepared.flatMap((_, k) => {
    const shoulders = seen[k];
    if (shoulders.length === 0 && !options.unseen) return [];
    if (giantBeside(smooth, prepared, k, RIDER_RATIO) !== undefined) return [];
    const view = windowOf(y, smooth, prepared, k, shoulders, options);
    if (view === undefined) return [];
    const partner = partnerOf(view, shoulders);
    return partner === undefined ? [] : [{ ...partner, host: k }];
  });
}

interface View {
  readonly own: Prepared;
  readonly members: readonly PeakStart[];
  /** Which of the members is looked at. */
  readonly which: number;
  readonly first: number;
  readonly time: Float64Array;
  readonly window: Float64Array;
  /** Mean square that a shape's misfit leaves, and that with the noise. */
  readonly misfit: number;
  readonly explained: number;
  readonly options: PartnerOptions;
  /** −1 for none beyond the baseline, 1 for a straight line. */
  readonly backgroundDegree: -1 | 1;
}

function windowOf(
  y: Float64Array,
  smooth: Float64Array,
  peaks: readonly Prepared[],
  k: number,
  shoulders: readonly number[],
  options: PartnerOptions,
): View | undefined {
  const own = peaks[k];
  const { neighbours } = surroundings(smooth, peaks, k, options.levelNoise ?? options.white);
  const members = [k, ...neighbours].sort((a, b) => peaks[a].apex - peaks[b].apex);
  if (members.length > MOST_MEMBERS) return undefined;
  const reach = 4 * own.sigma + 5 * own.tau;
  let first = Math.min(...members.map((m) => peaks[m].window[0]), ...shoulders.map((s) => s - reach));
  let last = Math.max(...members.map((m) => peaks[m].window[1]), ...shoulders.map((s) => s + reach));
  const [lowest, highest] = [peaks[members[0]].apex, peaks[members[members.length - 1]].apex];
  peaks.forEach(({ apex, window }, j) => {
    if (members.includes(j)) return;
    if (apex < lowest && window[1] > first) first = Math.max(first, valleyBetween(smooth, apex, lowest));
    if (apex > highest && window[0] < last) last = Math.min(last, valleyBetween(smooth, highest, apex));
  });
  first = Math.max(Math.floor(first), 0);
  const window = y.slice(first, Math.ceil(last) + 1);
  const height = Math.max(own.height, 0);
  return {
    own,
    members: members.map((m) => ({ ...startAt(peaks[m].apex - first, peaks[m]) })),
    which: members.indexOf(k),
    first,
    time: Float64Array.from(window, (_, i) => i),
    window,
    misfit: (MISFIT * height) ** 2,
    explained: options.spread ** 2 + (MISFIT * height) ** 2,
    options,
    backgroundDegree: -1,
  };
}

function startAt(apex: number, shape: Pick<Prepared, "sigma" | "tau">): PeakStart {
  const { sigma, tau } = shape;
  return { mu: centreFromApex(apex, shape), sigma, tau };
}

function fitted(
  { time, window, explained, options, backgroundDegree }: View,
  starts: readonly PeakStart[],
): ClusterFit {
  return fitEmgCluster(time, window, starts, {
    sharedShape: true,
    backgroundDegree,
    priors: { mu: 0.5, ...(options.freedom ?? KNOWN_SHAPE) },
    noise: Math.sqrt(explained),
  });
}

/** The peaks that are there with their overloads free: what these explain is no pair. */
function overloaded({ time, window, members, explained, options, backgroundDegree }: View): ClusterFit {
  const starts = members.map((member) => ({ ...member, q: 0.5 }));
  return fitCluster(time, window, starts, hvlKernel, {
    sharedShape: false,
    backgroundDegree,
    priors: { mu: 4, ...(options.freedom ?? KNOWN_SHAPE) },
    noise: Math.sqrt(explained),
    maximumShift: 4,
  });
}

function partnerOf(view: View, shoulders: readonly number[]): Omit<HiddenPartner, "host"> | undefined {
  const { own, members, which, first, window, explained } = view;
  const single = fitted(view, members);
  const excess = single.residualSumOfSquares / (window.length * explained);
  if (shoulders.length === 0 && excess < UNEXPLAINED) return undefined;
  const places =
    shoulders.length > 0
      ? shoulders.map((apex) => apex - first)
      : BESIDE.map((step) => own.apex - first + step * own.sigma);
  let best: ClusterFit | undefined;
  for (const place of places) {
    if (!(place > 0 && place < window.length - 1)) continue;
    const pair = fitted(view, [...members, startAt(place, own)]);
    if (
      pair.peaks[members.length].area > 0 &&
      pair.residualSumOfSquares < (best?.residualSumOfSquares ?? Infinity)
    )
      best = pair;
  }
  if (best === undefined) return undefined;
  const second = best.peaks[members.length];
  const host = best.peaks[which];
  const component = best.component(members.length);
  const judged = judge(view, single, best, shoulders.length > 0);
  const apex = second.mu + emgApexShift(second.tau / second.sigma) * second.sigma + first;
  const height = component.reduce((most, value) => Math.max(most, value), 0);
  // A partner larger than what was found beside it is not one that hides.
  if (second.area > host.area && shoulders.length === 0) return undefined;
  if (shoulders.length === 0 && (judged.refusal !== undefined || !standsOnSlope(view, second)))
    return undefined;
  return {
    ...{ apex, height, area: second.area, accepted: judged.refusal === undefined },
    because: judged.refusal ?? judged.because,
  };
}

/** What was not seen may be the tail of something far off: over a straight background of any slope it must be a peak too. */
function standsOnSlope(level: View, partner: PeakStart): boolean {
  const view: View = { ...level, backgroundDegree: 1 };
  const { mu, sigma, tau } = partner;
  const pair = fitted(view, [...view.members, { mu, sigma, tau }]);
  if (!(pair.peaks[view.members.length].area > 0)) return false;
  return judge(view, fitted(view, view.members), pair, false).refusal === undefined;
}

function judge(view: View, single: ClusterFit, pair: ClusterFit, seen: boolean) {
  const component = pair.component(view.members.length);
  const { members, which, first, own, window, misfit, options } = view;
  const fraction = independentShare(view, component);
  const nEffective = fraction * window.length;
  const bic = ({ residualSumOfSquares, parameterCount }: ClusterFit) =>
    nEffective * Math.log((residualSumOfSquares + window.length * misfit) / nEffective) +
    parameterCount * Math.log(nEffective);
  // One overload more than the single fit counts: those of the neighbours are no question here.
  const one = { ...overloaded(view), parameterCount: single.parameterCount + 1 };
  const drop = Math.min(bic(single), bic(one)) - bic(pair);
  const host = pair.peaks[which];
  const second = pair.peaks[members.length];
  const u = Math.hypot(noiseOf(pair.areaWeights(members.length), first, own, options), MISFIT * host.area);
  const apart = Math.abs(second.mu - host.mu) / host.sigma;
  const figures = `BIC falls by ${drop.toFixed(0)}, its area is ${(second.area / u).toFixed(0)} u, ${apart.toFixed(1)} σ away`;
  const refusal = !(drop > LEAST_DROP)
    ? `BIC changes by ${(-drop).toFixed(1)}, and must fall by more than ${LEAST_DROP}`
    : !(second.area > LEAST_AREA * u)
      ? `its area is only ${(second.area / u).toFixed(1)} u`
      : !(apart > (seen ? LEAST_DISTANCE : NEAREST_UNSEEN))
        ? `it stands only ${apart.toFixed(2)} σ away`
        : undefined;
  return { refusal, because: figures };
}

/** n_eff/n: what white readings of the same spread would make of the curve's area, over what the noise makes of it. */
function independentShare({ own, first, options }: View, component: Float64Array): number {
  const scatter = noiseOf(component, first, own, options);
  const squares = component.reduce((sum, value) => sum + value * value, 0);
  const share = (options.spread ** 2 * squares) / scatter ** 2;
  return Number.isFinite(share) && share > 0 ? Math.min(share, 1) : 1;
}
