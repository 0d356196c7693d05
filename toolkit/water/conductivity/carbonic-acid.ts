import { IonbookError } from "../../errors.js";

/** Ion product of water and constants of carbonic acid, 25 °C: handbook values of a public geochemical database. */
export const WATER = 1e-14;
export const FIRST = 10 ** -6.352;
export const SECOND = 10 ** -10.33;

const MICRO = 1e-6;
const TURNS = 60;

/**
 * [H⁺] of a strong acid in water that holds carbonic acid, µmol/L: the one positive root of
 *
 *     h³ + (K₁ − c)·h² − (K₁c + K₁C + K_w)·h − K₁K_w = 0
 *
 * c strong acid, eq/L; C total dissolved carbonic acid (undissociated and hydrogencarbonate), mol/L. Exact but for the
 * second step of carbonic acid, which changes h by less than 0.01 % in any solution of an acid.
 *
 * @param strongAcid charge of the dissociated anions, µeq/L, not below 0
 * @param carbonicAcid total, µmol/L, not below 0
 * @throws IonbookError "bad-concentration"
 * @source electroneutrality and mass action (derived); pK₁ 6.352 of a public geochemical database
 */
export function hydrogenOverCarbonicAcid(strongAcid: number, carbonicAcid: number): number {
  requireConcentration(strongAcid, "the strong acid", "µeq/L");
  requireConcentration(carbonicAcid, "carbonic acid", "µmol/L");
  return hydrogenOf(MICRO * strongAcid, MICRO * carbonicAcid) / MICRO;
}

/** The same in mol/L, unchecked: for sums over peaks. */
export function hydrogenOf(c: number, carbonic: number): number {
  const square = FIRST - c;
  const linear = FIRST * (c + carbonic) + WATER;
  const constant = FIRST * WATER;
  // With nothing of it dissociated h would be larger: from there Newton's steps fall to the root without passing it.
  let h = 0.5 * (c + Math.sqrt(c * c + 4 * FIRST * carbonic + 4 * WATER));
  for (let turn = 0; turn < TURNS; turn++) {
    const value = ((h + square) * h - linear) * h - constant;
    const slope = (3 * h + 2 * square) * h - linear;
    const next = h - value / slope;
    if (!(next < h)) return h;
    h = next;
  }
  return h;
}

/** Change of that h with the strong acid, dh/dc: ½ over much carbonic acid, 1 over none. */
export function hydrogenSlopeOf(h: number, c: number, carbonic: number): number {
  const slope = (3 * h + 2 * (FIRST - c)) * h - (FIRST * (c + carbonic) + WATER);
  return ((h + FIRST) * h) / slope;
}

/** @throws IonbookError "bad-concentration" unless `value` is a number not below 0 */
export function requireConcentration(value: number, what: string, unit: string): void {
  if (typeof value === "number" && value >= 0 && value < Number.POSITIVE_INFINITY) return;
  throw new IonbookError(
    "bad-concentration",
    `${what} is ${typeof value === "string" ? `the text "${value}"` : String(value)} ${unit}: give a number not below 0`,
  );
}
