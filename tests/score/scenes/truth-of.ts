import type { Band } from "../../../toolkit/simulation/elution-profile.js";
import type { RiderDesign, Situation, TruePeak } from "./scene.js";

/** One substance in one run, with what it adds to the signal at every sample, µS/cm. */
export interface Part {
  readonly ion: string;
  readonly kind: TruePeak["kind"];
  readonly band: Band;
  readonly contribution: Float64Array;
  readonly rider?: RiderDesign;
}

/** Neighbours that leave more than this share of a peak's height somewhere under it overlap it (handbook PEAKS §1). */
const OVERLAP = 0.02;
/** Under it: so many σ to either side of its top. */
const UNDER = 2.5;
/** A neighbour this many times higher makes the peak a rider. */
const GIANT = 10;
/** A top this soon after the water dip, s, has hardly any baseline before it. */
const NEAR_DIP = 60;
/** Lower than this is no peak, µS/cm. */
const LEAST_HEIGHT = 1e-5;

/**
 * The truth of a run from its parts.
 *
 * @param record samples of the record: its step (s) and length, where the water dip is (s), its noise (µS/cm)
 */
export function truthOf(
  parts: readonly Part[],
  record: { readonly step: number; readonly length: number; readonly dip: number; readonly noise: number },
): readonly TruePeak[] {
  const { step, noise } = record;
  const tops = parts.map(({ contribution }) => topOf(contribution));
  return parts.flatMap((part, i): TruePeak[] => {
    const { index, height } = tops[i];
    if (!(height > LEAST_HEIGHT)) return [];
    const { sigma, tau, overload } = part.band;
    const reach = Math.round((UNDER * sigma) / step);
    const from = Math.max(0, index - reach);
    const to = Math.min(record.length - 1, index + reach);
    return [
      {
        ion: part.ion,
        kind: part.kind,
        apex: (index * step) / 60,
        sigma: sigma / 60,
        tau: tau / 60,
        overload,
        area: (total(part.contribution) * step) / 60,
        height,
        situation: situationOf(parts, i, tops, from, to, index * step - record.dip),
        signalToNoise: height / noise,
        ...(part.rider === undefined ? {} : { rider: part.rider }),
      },
    ];
  });
}

function situationOf(
  parts: readonly Part[],
  own: number,
  tops: readonly { readonly height: number }[],
  from: number,
  to: number,
  afterDip: number,
): Situation {
  const { height } = tops[own];
  const over = (values: Float64Array) => highest(values, from, to) > OVERLAP * height;
  const near = parts.flatMap(({ kind, contribution }, j) =>
    j !== own && kind !== "system" && over(contribution) ? [tops[j].height] : [],
  );
  if (parts[own].rider !== undefined || near.some((other) => other > GIANT * height)) return "rider";
  if (near.length > 0) return "overlapped";
  return afterDip < NEAR_DIP ? "near dip" : "isolated";
}

function topOf(values: Float64Array): { index: number; height: number } {
  let index = 0;
  for (let i = 0; i < values.length; i++) if (values[i] > values[index]) index = i;
  return { index, height: values[index] };
}

function highest(values: Float64Array, from: number, to: number): number {
  let most = Number.NEGATIVE_INFINITY;
  for (let i = from; i <= to; i++) if (values[i] > most) most = values[i];
  return most;
}

function total(values: Float64Array): number {
  let sum = 0;
  for (const y of values) sum += y;
  return sum;
}
