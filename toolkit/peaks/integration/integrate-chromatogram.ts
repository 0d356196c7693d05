import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import type { Autocovariance } from "../../signal/autocovariance.js";
import { type Baseline, endOfVoid, estimateBaseline } from "../../signal/baseline.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { estimateNoise, type Noise } from "../../signal/noise.js";
import { requireChromatogram } from "../../signal/require-chromatogram.js";
import { type BlankSubtraction, subtractBlank } from "../../signal/subtract-blank.js";
import { type FoundDip, findDips } from "../detection/find-dips.js";
import { type FindPeaksOptions, findPeaks } from "../detection/find-peaks.js";
import { type HostPeak, withoutShoulders } from "../detection/shoulders.js";
import { type MajorProfile, profileInSamples } from "../riders/major-profile.js";
import type { PeakShapeAt } from "../shape/peak-shape-at.js";
import { areaNoise } from "./area-noise.js";
import { compareRules } from "./compare-rules.js";
import { describePeak, type IntegrationWork } from "./describe-peak.js";
import { hiddenPartners } from "./hidden-partners.js";
import { integrateInDetail, smoothFor } from "./integrate.js";
import type { IntegratedPeak } from "./integrated-peak.js";
import { INTEGRATION_RULES, type IntegrationRule } from "./integration-rules.js";
import { shapesOfRecord } from "./learn-peak-shapes.js";
import { followTails } from "./long-tails.js";
import { addRiders, partPeaks } from "./place-partners.js";
import type { IntegrateOptions, MeasuredPeak } from "./placed-peak.js";
import {
  freeOfPeaks,
  longestFree,
  placePeaks,
  type RecordRegion,
  regionOf,
  spreadOf,
} from "./record-region.js";
import { ridersOverProfile } from "./riders-over-profile.js";
import { settledBaseline } from "./settled-baseline.js";

export type { PeakShapeAt } from "../shape/peak-shape-at.js";
export type { AlternativeArea, IntegratedPeak, PeakRule } from "./integrated-peak.js";
export type { IntegrationRule } from "./integration-rules.js";
export type { Refusal } from "./placed-peak.js";

export interface IntegrateChromatogramOptions extends FindPeaksOptions {
  /** One rule for all peaks, for those who must show what it gives. @default for each peak the rule it needs */
  readonly rule?: IntegrationRule;
  /** Records of the same programme without peaks: their course is taken off, the noise of areas is read from them. */
  readonly blanks?: readonly Chromatogram[];
  /** Widths and tails by retention time, see `learnPeakShapes`. @default learnt from the peaks that stand alone here */
  readonly shapes?: readonly PeakShapeAt[];
  /** Giants as they look when injected alone, see `majorProfile`: backgrounds for what rides on their flanks. */
  readonly profiles?: readonly MajorProfile[];
  /** A rider whose area may be wrong by more than this share is not quantified. @default 0.3 */
  readonly refuseAbove?: number;
}

/** What an automatic integration is made of. */
export interface Integration {
  readonly kind: "integration";
  readonly chromatogram: Chromatogram;
  readonly baseline: Baseline;
  /** Of the longest stretch without peaks. */
  readonly noise: Noise;
  /** Of the blanks, where any were given. */
  readonly autocovariance?: Autocovariance;
  /** The blank that was taken off, or why it was not. */
  readonly blank?: BlankSubtraction;
  /** In order of time. */
  readonly peaks: readonly IntegratedPeak[];
  /** Where the signal falls below the baseline: listed, not integrated. */
  readonly dips: readonly FoundDip[];
  /** Signal less baseline and the curves of all peaks, over the whole record; NaN outside the evaluated region. */
  readonly residuals: Float64Array;
  toString(): string;
}

/**
 * Automatic integration of a chromatogram: baseline, peaks, and the area of each by the rule that its surroundings
 * call for.
 *
 * Areas in the signal's unit times min. A peak whose neighbours and limits lie below 2 % of its height is summed over the
 * baseline; overlapped ones within 10 : 1 are fitted jointly and share the signal; a small one on the flank of a giant
 * stands on a fitted background. A shoulder without a valley is fitted with its host where order selection takes it for
 * a peak (`choosePeakCount`), else it is counted along; with `shapes` given, partners that were not even seen are looked
 * for by the same rule; with `profiles`, riders that show no maximum are looked for over them. The sources of u:
 * "noise" √(h Γ h′) with the noise of the blanks or of the record's own free stretches, h with the baseline's part in it;
 * "baseline choice" |area over the baseline − area over a line between anchors|/√3 as far as noise does not explain
 * it; "integration rule", "shape", "background model", "beyond the limits", "shoulder" where they apply. With `rule` the
 * difference to the area that would have been chosen is the half-width of "integration rule". O(n).
 *
 * @throws IonbookError as `findPeaks` and `estimateBaseline`; `bad-option` for a rule without a name here
 * @source 2 % and 10 : 1: common practice, no source; half-range as rectangular distribution: JCGM 100:2008, 4.3.7
 */
export function integrateChromatogram(
  chromatogram: Chromatogram,
  options: IntegrateChromatogramOptions = {},
): Integration {
  requireChromatogram(chromatogram, "integrateChromatogram");
  requireRule(options.rule);
  const { blanks = [] } = options;
  // A baseline drawn by the caller stands on the record as it is.
  const blank =
    blanks.length === 0 || options.baseline !== undefined
      ? undefined
      : subtractBlank(
          chromatogram,
          blanks,
          options.peakWidth === undefined ? {} : { peakWidth: options.peakWidth },
        );
  const record = blank?.chromatogram ?? chromatogram;
  const region = {
    from: options.from ?? endOfVoid(chromatogram),
    ...(options.to === undefined ? {} : { to: options.to }),
  };
  const baseline = options.baseline ?? estimateBaseline(record, region);
  const found = findPeaks(record, { ...options, baseline });
  const dips = findDips(record, { ...options, baseline });
  const shapes = options.shapes ?? shapesOfRecord(record, baseline, found);
  return integrateFound({ record, baseline, dips, shapes, blank, hosts: withoutShoulders(found) }, options);
}

/** What integration starts from. */
interface Found {
  /** The record less its blank, if one was taken off. */
  readonly record: Chromatogram;
  readonly baseline: Baseline;
  readonly hosts: readonly HostPeak[];
  readonly dips: readonly FoundDip[];
  readonly shapes: readonly PeakShapeAt[];
  readonly blank: BlankSubtraction | undefined;
}

function requireRule(rule: IntegrationRule | undefined): void {
  if (rule === undefined || INTEGRATION_RULES.includes(rule)) return;
  throw new IonbookError(
    "bad-option",
    `integrateChromatogram: rule "${rule}" is not known: give ${INTEGRATION_RULES.map((each) => `"${each}"`).join(", ")} or leave it out`,
  );
}

/** Peak s.d. assumed where neither options nor record tell one, min (about 6 s; common practice, no source). */
const TYPICAL_PEAK_WIDTH = 0.1;
/** Freedom of σ and τ in a joint fit where no standards have shown the shape. */
const GUESSED_SHAPE = { lnSigma: 0.25, lnTau: 0.8 };
/** Length of an area in σ, for counting independent looks at the noise. */
const AREA_LENGTH = 10;

function integrateFound(found: Found, options: IntegrateChromatogramOptions): Integration {
  const { record, baseline: first, hosts, shapes, blank, dips } = found;
  const peakWidth = options.peakWidth ?? medianWidth(shapes) ?? first.peakWidth ?? TYPICAL_PEAK_WIDTH;
  const seen = regionOf(record, first, peakWidth);
  const expected = placePeaks(seen, hosts, shapes, peakWidth);
  const spread = spreadOf(seen, freeOfPeaks(seen.y.length, expected));
  const baseline =
    options.baseline ?? settledBaseline(first, seen, followTails(seen.y, expected, spread), spread);
  const region = regionOf(record, baseline, peakWidth);
  const whole = followTails(region.y, expected, spread);
  const free = freeOfPeaks(region.y.length, whole);
  const window = (AREA_LENGTH * peakWidth) / region.interval;
  const { noise, autocovariance } = areaNoise(
    region,
    free,
    window,
    options.blanks ?? [],
    blank?.accepted === true ? blank.blanks.length : 0,
  );
  const engine: IntegrateOptions = {
    baseline: region.baseline,
    noise,
    white: spread,
    levelNoise: spreadOf({ y: smoothFor(region.y, expected), white: 0 }, free) || spread,
    ...(options.refuseAbove === undefined ? {} : { refuseAbove: options.refuseAbove }),
    profileOf: (apex) => profileAt(options.profiles ?? [], apex, region),
    ...(options.shapes === undefined ? { freedom: GUESSED_SHAPE } : {}),
    reach: region.y.length,
  };
  const partners = hiddenPartners(
    region.y,
    whole,
    hosts.map(({ shoulders }) => shoulders.map((time) => (time - region.start) / region.interval)),
    { ...engine, spread, unseen: options.shapes !== undefined },
  );
  const shown = partPeaks(region, hosts, expected, partners);
  const shapeOf = (at: number) => {
    const retentionTime = region.start + at * region.interval;
    return placePeaks(region, [{ retentionTime, signalToNoise: 0 }], shapes, peakWidth)[0];
  };
  const standing = shown.map((each) => each.placed);
  const riders = ridersOverProfile(region.y, standing, shapeOf, engine);
  const parted = addRiders(region, shown, riders, shapeOf);
  const placed = followTails(
    region.y,
    parted.map((each) => each.placed),
    spread,
  );
  const detail = integrateInDetail(region.y, placed, engine);
  const work: IntegrationWork = {
    region,
    free,
    noise,
    engine,
    detail,
    rules: compareRules(region.y, detail),
  };
  const peaks = parted.map((each, k) => describePeak(work, each, k, options.rule));
  const stretch = longestFree(free) ?? [0, region.y.length - 1];
  const timeOf = (i: number) => record.time[region.offset + i];
  const long = stretch[1] - stretch[0] > 10 ? stretch : ([0, region.y.length - 1] as const);
  return {
    kind: "integration",
    chromatogram: blank?.original ?? record,
    baseline: blank?.accepted === true ? onTop(baseline, blank) : baseline,
    ...(blank === undefined ? {} : { blank }),
    dips,
    noise: estimateNoise(record, { from: timeOf(long[0]), to: timeOf(long[1]) }),
    ...(autocovariance === undefined ? {} : { autocovariance }),
    peaks,
    residuals: residualsOf(region, detail.measured),
    toString: () => describeInWords(record, peaks),
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  } as Integration;
}

/** The baseline below the record as it was recorded: that of the difference and the blank's course. */
function onTop(baseline: Baseline, { course }: BlankSubtraction): Baseline {
  return { ...baseline, values: baseline.values.map((value, i) => value + course[i]) };
}

/** A giant within so many of its σ of a profile's apex is that one. */
const SAME_GIANT = 3;

function profileAt(
  profiles: readonly MajorProfile[],
  apex: number,
  { start, interval, white }: RecordRegion,
) {
  const time = start + apex * interval;
  const off = (profile: MajorProfile) => Math.abs(profile.retentionTime - time) / profile.sigma;
  const [nearest] = [...profiles].sort((a, b) => off(a) - off(b));
  if (nearest === undefined || off(nearest) > SAME_GIANT) return undefined;
  return profileInSamples(nearest, interval, white);
}

function medianWidth(shapes: readonly PeakShapeAt[]): number | undefined {
  const sigmas = shapes.map(({ sigma }) => sigma).sort((a, b) => a - b);
  return sigmas[sigmas.length >> 1];
}

/** Summed peaks leave nothing over, fitted ones what their curves do not follow. */
function residualsOf(
  { chromatogram, offset, y }: RecordRegion,
  measured: readonly MeasuredPeak[],
): Float64Array {
  const out = new Float64Array(chromatogram.time.length).fill(Number.NaN);
  out.set(y, offset);
  const summed = new Uint8Array(y.length);
  for (const { rule, first, last, component, background } of measured) {
    if (rule === "summation") summed.fill(1, first, last + 1);
    else
      component.forEach((value, i) => {
        out[offset + first + i] -= value;
      });
    background?.values.forEach((value, i) => {
      out[offset + background.first + i] -= value;
    });
  }
  summed.forEach((each, i) => {
    if (each) out[offset + i] = 0;
  });
  return out;
}

function describeInWords({ id, signalUnit }: Chromatogram, peaks: readonly IntegratedPeak[]): string {
  const lines = peaks.map(({ retentionTime, area, rule, quantifiable, refusal }) => {
    const at = `  ${retentionTime.toFixed(2)} min: `;
    return quantifiable ? `${at}${area}, ${rule}` : `${at}not quantified: ${refusal?.reason ?? "refused"}`;
  });
  const count = peaks.length === 1 ? "1 peak" : `${peaks.length} peaks`;
  return [`${id}: ${count}, areas in ${signalUnit}·min`, ...lines].join("\n");
}
