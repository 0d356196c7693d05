import { type Baseline, type BaselineOptions, endOfVoid, estimateBaseline } from "../../signal/baseline.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { type CorrectedView, correctedView } from "./corrected-view.js";
import { type Candidate, detectBothSigns, type SignedCandidates } from "./detect.js";

/** First and last sample of stretches, in order. */
export type Stretches = readonly (readonly [first: number, last: number])[];

/** Depth in noise standard deviations from which a dip draws the baseline down, and takes its neighbourhood along. */
const DEEP = 3;
/** A baseline that dives into a dip crosses its flanks too early: dips are taken this much wider until it no longer does. */
const WIDER = 2;
const MOST_TURNS = 4;

/** A region of a record above its baseline, and what answers the filter in it. */
export interface BesideDips {
  readonly baseline: Baseline;
  readonly view: CorrectedView;
  readonly found: SignedCandidates;
  /** Where the record falls below its baseline, indices of the view. */
  readonly dips: Stretches;
}

export interface BesideDipsOptions {
  /** Taken as it is. @default drawn */
  readonly baseline?: Baseline;
  /** Standard deviation of a typical peak, min. */
  readonly peakWidth?: number;
  readonly from?: number;
  readonly to?: number;
}

/**
 * As `estimateBaseline`, but running straight on above dips: a dip is found below a first baseline, the record is
 * bridged over it, and the baseline drawn again until no dip comes or goes. Without a dip it is `estimateBaseline`'s,
 * which a deep dip would draw down so far that the flanks of the dip stand above it like peaks.
 *
 * @throws IonbookError as `estimateBaseline`
 */
export function baselineBesideDips(chromatogram: Chromatogram, options: BaselineOptions = {}): Baseline {
  return drawnBesideDips(chromatogram, options, {}).baseline;
}

/** The region that detection looks at, with its baseline drawn beside dips where none was given. */
export function besideDips(chromatogram: Chromatogram, options: BesideDipsOptions): BesideDips {
  const { baseline, from, to } = options;
  if (baseline !== undefined) return look(chromatogram, baseline, options, 1);
  const region = { ...(from === undefined ? {} : { from }), ...(to === undefined ? {} : { to }) };
  return drawnBesideDips(chromatogram, region, options);
}

function drawnBesideDips(
  chromatogram: Chromatogram,
  options: BaselineOptions,
  looking: BesideDipsOptions,
): BesideDips {
  // The void is looked for in the record as it is: bridged over, its dip would no longer show.
  const fixed = { ...options, from: options.from ?? endOfVoid(chromatogram, options.holdUpTime) };
  let seen = look(chromatogram, estimateBaseline(chromatogram, fixed), looking, WIDER);
  let bridged: Stretches = [];
  for (let turn = 0; turn < MOST_TURNS && !sameStretches(seen.dips, bridged); turn++) {
    bridged = seen.dips;
    const excluded = [...(options.excluded ?? []), ...inMinutes(bridged, chromatogram, seen.view)];
    seen = look(chromatogram, estimateBaseline(chromatogram, { ...fixed, excluded }), looking, 1);
  }
  return seen;
}

function inMinutes(stretches: Stretches, { time }: Chromatogram, { first }: CorrectedView) {
  return stretches.map(([from, to]) => [time[first + from], time[first + to]] as const);
}

function look(
  chromatogram: Chromatogram,
  baseline: Baseline,
  options: BesideDipsOptions,
  wider: number,
): BesideDips {
  const view = correctedView(chromatogram, baseline, options);
  const found = detectBothSigns(view.y, { widthAt: () => view.sigma });
  return { baseline, view, found, dips: stretchesOf(found.dips, view, wider) };
}

function stretchesOf(dips: readonly Candidate[], { smooth, noise }: CorrectedView, wider: number): Stretches {
  const stretches: [number, number][] = [];
  for (const { index } of dips) {
    if (smooth[index] > -DEEP * noise) continue;
    const [first, last] = [crossing(smooth, index, -1), crossing(smooth, index, 1)];
    const from = Math.max(0, Math.round(index - wider * (index - first)));
    const to = Math.min(smooth.length - 1, Math.round(index + wider * (last - index)));
    const before = stretches[stretches.length - 1];
    if (before !== undefined && from <= before[1] + 1) before[1] = Math.max(before[1], to);
    else stretches.push([from, to]);
  }
  return stretches;
}

/** First sample from the bottom of a dip outwards that is back at the baseline. */
function crossing(smooth: Float64Array, bottom: number, direction: 1 | -1): number {
  let i = bottom;
  while (i + direction >= 0 && i + direction < smooth.length && smooth[i] < 0) i += direction;
  return i;
}

function sameStretches(a: Stretches, b: Stretches): boolean {
  return a.length === b.length && a.every(([first, last], k) => first === b[k][0] && last === b[k][1]);
}
