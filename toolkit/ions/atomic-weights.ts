import type { SourceTag } from "./sources.js";

/** Abridged standard atomic weights 2021 that were read in the published table. */
const READ: Readonly<Record<string, number>> = {
  H: 1.008,
  Li: 6.94,
  B: 10.81,
  C: 12.011,
  O: 15.999,
  F: 18.998,
  Mg: 24.305,
  Al: 26.982,
  P: 30.974,
  S: 32.06,
  K: 39.098,
  Ca: 40.078,
  Cr: 51.996,
  Mn: 54.938,
  Co: 58.933,
  Ni: 58.693,
  Zn: 65.38,
  As: 74.922,
  Br: 79.904,
  Rb: 85.468,
  Mo: 95.95,
  Ag: 107.87,
  Sn: 118.71,
  Sb: 121.76,
  Cs: 132.91,
  Ba: 137.33,
  Tl: 204.38,
  Pb: 207.2,
};

/** Abridged standard atomic weights 2021 from memory. */
const REMEMBERED: Readonly<Record<string, number>> = {
  Be: 9.0122,
  N: 14.007,
  Na: 22.99,
  Si: 28.085,
  Cl: 35.45,
  Ti: 47.867,
  V: 50.942,
  Fe: 55.845,
  Cu: 63.546,
  Se: 78.971,
  Sr: 87.62,
  Cd: 112.41,
  I: 126.9,
  La: 138.91,
  W: 183.84,
  Re: 186.21,
  Hg: 200.59,
};

/**
 * The abridged standard atomic weight of an element, g/mol; undefined for a symbol that is not in the table.
 *
 * @source IUPAC 2021 abridged values; elements of variable composition have their single conventional value.
 */
export function atomicWeight(symbol: string): number | undefined {
  if (Object.hasOwn(READ, symbol)) return READ[symbol];
  return Object.hasOwn(REMEMBERED, symbol) ? REMEMBERED[symbol] : undefined;
}

/** The source of an element's atomic weight. */
export function atomicWeightSource(symbol: string): SourceTag {
  return Object.hasOwn(READ, symbol) ? "iupac-2021" : "iupac-2021-memory";
}
