import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { requireConcentration } from "../conductivity/carbonic-acid.js";
import { conductivityOf, weakAcidFactor } from "../conductivity/effective-conductivity.js";
import { strongAcidOfHeight, strongAcidPeak } from "../conductivity/strong-acid-peak.js";
import { carbonicAcidOfBackground } from "../conductivity/suppressed-signal.js";

/** What the cell of an anion channel saw: enough to know how far carbonic acid and water bend the response. */
export interface UnknownCell {
  /** Height of the unidentified peak above its baseline, µS/cm. */
  readonly height: number;
  /** Conductivity of the suppressed eluent, µS/cm, where carbonic acid is all there is in it. */
  readonly background?: number;
  /** Total carbonic acid in the cell, µmol/L; instead of `background`. */
  readonly carbonicAcid?: number;
}

/** How much more there is than counted, were the unknown the anion of a weak acid. */
export interface WeakAcidFactor {
  readonly pKa: number;
  readonly factor: number;
}

/** 4.76 is acetic acid's; an acid of 6 hardly shows, a weaker one (boric, hydrocyanic, silicic) not at all. */
const PKA_TOLD = [4.76, 6] as const;
const NEWTON_TURNS = 3;

/** A peak in a suppressed cell, as far as the counting of charge needs it. */
export interface PeakInCell {
  /** Charge in the middle of the peak, µeq/L, counted with the class's mean. */
  readonly top: number;
  /** Slope of the area there over its slope at full response: γ_loc. */
  readonly slopeRatio: number;
  readonly weakAcid: readonly WeakAcidFactor[];
  /** Amount of an anion of the class's mean over the amount of a reference of the same area. */
  perReference(lambda: number): number;
}

/**
 * @param lambda of the class's mean, S·cm²/eq
 * @throws IonbookError "unknown-option", "bad-option", "bad-concentration", "bad-background"
 */
export function peakInCell(cell: UnknownCell, lambda: number): PeakInCell {
  requireKnownOptions<UnknownCell>(cell, { height: true, background: true, carbonicAcid: true }, "cell");
  const { height } = cell;
  if (typeof height !== "number" || !(height > 0 && Number.isFinite(height))) {
    throw new IonbookError(
      "bad-option",
      `cell.height is ${String(height)}: give the height of the peak above its baseline, µS/cm, above 0`,
    );
  }
  const carbonic = carbonicAcidOf(cell);
  const top = strongAcidOfHeight(height, lambda, carbonic);
  return {
    top,
    slopeRatio: strongAcidPeak(top, lambda, carbonic).slope,
    weakAcid: PKA_TOLD.map((pKa) => ({ pKa, factor: weakAcidFactor(top, pKa, carbonic) })),
    perReference: (reference) => equalArea(top, lambda, reference, carbonic),
  };
}

function carbonicAcidOf({ background, carbonicAcid }: UnknownCell): number {
  if (carbonicAcid !== undefined) {
    requireConcentration(carbonicAcid, "cell.carbonicAcid", "µmol/L");
    return carbonicAcid;
  }
  if (background !== undefined) return carbonicAcidOfBackground(background);
  throw new IonbookError(
    "bad-option",
    "cell says nothing of carbonic acid: give the background of the suppressed eluent (µS/cm) or carbonicAcid (µmol/L, 0 for none)",
  );
}

/** Two anions in peaks of one width and one area: amount of the first over that of the second. */
function equalArea(top: number, lambda: number, reference: number, carbonic: number): number {
  const hydrogen = conductivityOf("hydrogen");
  const areaOf = (at: number, own: number) => {
    const { response, slope } = strongAcidPeak(at, own, carbonic);
    const full = hydrogen + own;
    return { area: full * response * at, slope: full * slope };
  };
  const { area } = areaOf(top, lambda);
  let other = top;
  for (let turn = 0; turn < NEWTON_TURNS; turn++) {
    const at = areaOf(other, reference);
    other -= (at.area - area) / at.slope;
  }
  return top / other;
}
