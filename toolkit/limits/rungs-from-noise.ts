import { IonbookError } from "../errors.js";
import { countingLimits } from "./counting-limits.js";
import type { LadderContext } from "./ladder-data.js";
import type { LimitRung, PeakAndNoise } from "./ladder-types.js";
import { type Definition, type Found, rungOf, spreadLimit } from "./rung-draft.js";

/** The pharmacopoeias measure noise over so many widths at half height. */
const TRACE_WIDTHS = 5;
const DETECTED_AT = 3;
const QUANTIFIED_AT = 10;

const OF_NOISE = {
  from: "noise",
  needs: "a peak and a blank trace at least five of its widths at half height long",
  remark: "sees the instrument alone, on one day",
} as const;
const PHARMACOPOEIA: Definition = {
  ...OF_NOISE,
  id: "signal-to-noise",
  name: "signal to noise, S/N = 2H/h",
  standard: "USP <621>; Ph. Eur. 2.2.46",
  formula: "3 and 10 times c·h/(2H)",
};
const EVERYDAY: Definition = {
  ...OF_NOISE,
  id: "signal-to-noise-everyday",
  name: "signal to noise, S/N = H/h",
  standard: "everyday use (common practice, no source)",
  formula: "3 and 10 times c·h/H",
};

/** Signal to noise both ways. */
export function rungsFromNoise({ data, unit }: LadderContext): readonly LimitRung[] {
  return [
    rungOf(PHARMACOPOEIA, unit, bySignal(data.noise, unit, 2)),
    rungOf(EVERYDAY, unit, bySignal(data.noise, unit, 1)),
  ];
}

function bySignal(noise: PeakAndNoise | undefined, unit: string, factor: number): Found | string {
  if (noise === undefined) return "no peak height with the noise beside it was given";
  const { concentration, height, peakToPeak, widths } = noise;
  for (const [name, value] of Object.entries({ concentration, height, peakToPeak })) {
    if (value > 0 && value < Infinity) continue;
    throw new IonbookError(
      "bad-noise",
      `noise.${name} is ${value}: concentration, height and peakToPeak lie above zero`,
    );
  }
  const perNoise = (concentration * peakToPeak) / (factor * height);
  const doubts: string[] = [];
  if (widths === undefined) doubts.push("how many peak widths the noise was read over is not stated");
  else if (!(widths >= TRACE_WIDTHS))
    doubts.push(`the noise was read over ${widths} peak widths; at least ${TRACE_WIDTHS} are asked for`);
  const ratio = (factor * height) / peakToPeak;
  if (ratio < DETECTED_AT)
    doubts.push(`the peak itself has S/N ${ratio.toPrecision(2)} and says little of its height`);
  return {
    limits: [
      spreadLimit("detection limit", unit, DETECTED_AT * perNoise, undefined),
      spreadLimit("quantification limit", unit, QUANTIFIED_AT * perNoise, undefined),
    ],
    doubts,
  };
}

/** Only where counts are given: other laboratories need not read about them. */
export function rungsFromCounts({ data, unit }: LadderContext): readonly LimitRung[] {
  if (data.counting === undefined) return [];
  const found = countingLimits(data.counting);
  return [
    rungOf(
      {
        id: "counting",
        name: "counting against background",
        standard: "ISO 11929-1:2019",
        formula: "y* = k·w·√(r₀/t_g + r₀/t₀)",
        from: "counts",
        needs: "background counts and both counting times",
      },
      unit,
      {
        limits: [
          spreadLimit("critical value", found.unit, found.decisionThreshold, undefined),
          spreadLimit("detection limit", found.unit, found.detectionLimit, undefined),
        ],
      },
    ),
  ];
}
