/**
 * How often each kind of fault comes, as odds beside a water without one. Their order is that of the trade: hydrogencarbonate
 * not measured, dilution slips, organic anions, calibration, exchanged vials.
 *
 * @source common practice, no source
 */
export const BASE_RATES = {
  /** Where no alkalinity is given. */
  carbonateNotMeasured: 0.5,
  alkalinity: 0.016,
  channelDilution: 0.03,
  ionDilution: 0.008,
  elementUnit: 0.02,
  milliequivalents: 0.004,
  micrograms: 0.004,
  organicAnions: 0.05,
  unidentifiedPeaks: 0.03,
  /** Each ion that waters usually have and that was not looked for. */
  ionNotMeasured: 0.004,
  metals: 0.004,
  hydrogenNotCounted: 0.2,
  /** All ions together: lost, wrong curve, a peak that hides another. */
  ionWrong: 0.012,
  sodiumContamination: 0.008,
  chlorideContamination: 0.005,
  conductivityWrong: 0.006,
  conductivityAt20: 0.004,
  conductivityUnit: 0.001,
  bothChannels: 0.006,
  /** A vial with any other vial of the batch. */
  exchangedVials: 0.006,
  exchangedConductivity: 0.002,
  /** Two faults at once, or one that is not in the list. */
  unexplained: 0.002,
} as const;

/** Factors dilutions go wrong by, with their shares. */
export const DILUTION_FACTORS: readonly (readonly [factor: number, share: number])[] = [
  [2, 0.22],
  [4, 0.05],
  [5, 0.15],
  [10, 0.3],
  [20, 0.08],
  [25, 0.05],
  [50, 0.06],
  [100, 0.09],
];

/** What to do next, said where the hypothesis stands. */
export const NEXT = {
  carbonate: "titrate the alkalinity of an untouched bottle",
  alkalinity: "titrate the alkalinity again and look at the burette reading and the unit of the entry",
  organic: "measure dissolved organic carbon, or inject for organic acids; evaporate and ash for the rest",
  peaks: "count the unidentified peaks in equivalents and spike the likeliest acid",
} as const;
