import type { Random } from "../../../toolkit/numeric/random.js";

/**
 * Waters whose truth is known, for scoring the diagnosis: ranges of ten kinds of water, independent of what the diagnosis
 * takes for granted, and a conductivity by another formula with other constants.
 *
 * Ranges, meq/L, after the tables of J.D. Hem (USGS WSP 2254, 1985), C.A.J. Appelo and D. Postma (Geochemistry, Groundwater
 * and Pollution, 2005), W. Stumm and J.J. Morgan (Aquatic Chemistry, 1996), Metcalf and Eddy (effluents) and precipitation
 * networks, from memory and rounded; the nutrient solution: common practice, no source.
 */
export type Range = readonly [low: number, high: number];

interface Kind {
  readonly name: string;
  readonly ions: Readonly<Record<string, Range>>;
  /** What makes the charges equal: hydrogencarbonate, hydrogen ion, or one of the ions. */
  readonly closing: "hydrogencarbonate" | "hydrogen" | "sulfate" | "nitrate";
  /** Share of sea water. */
  readonly sea?: Range;
  /** log10 of carbon dioxide's partial pressure, bar; or the pH itself. */
  readonly carbonDioxide?: Range;
  readonly pH?: Range;
}

const RAIN: Readonly<Record<string, Range>> = {
  sulfate: [0.012, 0.06],
  nitrate: [0.01, 0.05],
  chloride: [0.003, 0.02],
  sodium: [0.002, 0.015],
  ammonium: [0.006, 0.04],
  calcium: [0.003, 0.02],
  magnesium: [0.001, 0.006],
  potassium: [0.0008, 0.004],
};

const HARD: Readonly<Record<string, Range>> = {
  calcium: [2, 6],
  magnesium: [0.3, 2.5],
  sodium: [0.2, 2],
  potassium: [0.02, 0.2],
  chloride: [0.2, 2],
  sulfate: [0.2, 2.5],
  nitrate: [0.02, 0.6],
  fluoride: [0.003, 0.02],
};

export const KINDS: readonly Kind[] = [
  { name: "inland rain", ions: RAIN, closing: "hydrogen" },
  { name: "coastal rain", ions: RAIN, closing: "hydrogen", sea: [0.0001, 0.0008] },
  {
    name: "soft stream",
    closing: "hydrogencarbonate",
    carbonDioxide: [-3.3, -2.5],
    ions: {
      calcium: [0.05, 0.3],
      magnesium: [0.03, 0.15],
      sodium: [0.08, 0.35],
      potassium: [0.006, 0.04],
      chloride: [0.04, 0.2],
      sulfate: [0.03, 0.15],
      nitrate: [0.002, 0.06],
    },
  },
  {
    name: "river",
    closing: "hydrogencarbonate",
    carbonDioxide: [-3.4, -2.4],
    ions: {
      calcium: [0.5, 3.5],
      magnesium: [0.2, 1.4],
      sodium: [0.15, 2],
      potassium: [0.02, 0.15],
      chloride: [0.1, 2],
      sulfate: [0.1, 1.5],
      nitrate: [0.01, 0.4],
    },
  },
  { name: "hard well", closing: "hydrogencarbonate", carbonDioxide: [-2.6, -1.4], ions: HARD },
  {
    name: "farm well",
    closing: "hydrogencarbonate",
    carbonDioxide: [-2.4, -1.4],
    ions: { ...HARD, nitrate: [0.5, 3], chloride: [0.4, 2.5], potassium: [0.03, 1] },
  },
  {
    name: "sodium well",
    closing: "hydrogencarbonate",
    carbonDioxide: [-3.4, -2.2],
    ions: {
      sodium: [3, 15],
      calcium: [0.05, 0.9],
      magnesium: [0.03, 0.6],
      potassium: [0.02, 0.2],
      chloride: [0.3, 5],
      sulfate: [0.05, 3],
      fluoride: [0.02, 0.2],
    },
  },
  {
    name: "gypsum well",
    closing: "sulfate",
    carbonDioxide: [-2.4, -1.4],
    ions: {
      calcium: [8, 28],
      magnesium: [2, 11],
      sodium: [0.5, 6],
      potassium: [0.05, 0.3],
      chloride: [0.5, 5],
      hydrogencarbonate: [2, 5],
      nitrate: [0.01, 0.5],
    },
  },
  {
    name: "brackish well",
    closing: "hydrogencarbonate",
    carbonDioxide: [-2.6, -1.6],
    sea: [0.01, 0.12],
    ions: HARD,
  },
  {
    name: "nutrient solution",
    closing: "nitrate",
    pH: [5.4, 6.6],
    ions: {
      potassium: [3, 10],
      calcium: [5, 15],
      magnesium: [1.5, 5],
      ammonium: [0.1, 1.5],
      sodium: [0.3, 5],
      chloride: [0.3, 5],
      sulfate: [2, 7],
      hydrogencarbonate: [0.2, 1],
    },
  },
  {
    name: "effluent",
    closing: "hydrogencarbonate",
    carbonDioxide: [-2.3, -1.4],
    ions: {
      sodium: [2, 7],
      potassium: [0.2, 0.8],
      calcium: [2, 5],
      magnesium: [0.5, 2],
      ammonium: [0.05, 3],
      chloride: [1.5, 6],
      sulfate: [0.8, 3],
      nitrate: [0.02, 1.5],
    },
  },
];

/** Sea water, meq/L, salinity 35. */
const SEA = { sodium: 480, magnesium: 109, calcium: 21, potassium: 10.4, chloride: 559, sulfate: 57.8 };

/** A water as it is: charges add up to zero, all ions in meq/L. */
export interface TrueWater {
  readonly kind: string;
  readonly pH: number;
  readonly milliequivalents: Readonly<Record<string, number>>;
  /** meq/L of anions that nobody looks for: the fault "missing organic acid" makes them large. */
  readonly organic: number;
  /** Its conductivity per equivalent, S·cm²/eq, and the part of it that a titration to pH 4.5 takes up. */
  readonly organicLambda: number;
  readonly organicTitrated: number;
  /** mg/L */
  readonly silica: number;
}

export const CATIONS = ["calcium", "magnesium", "sodium", "potassium", "ammonium"];
/** Strong anions, read by ion chromatography. */
export const ANIONS = ["chloride", "nitrate", "sulfate", "fluoride"];

export function between(random: Random, [low, high]: Range): number {
  return low + (high - low) * random.uniform();
}

export function logBetween(random: Random, [low, high]: Range): number {
  return Math.exp(between(random, [Math.log(low), Math.log(high)]));
}

export function pick<T>(random: Random, from: readonly T[]): T {
  return from[Math.min(from.length - 1, Math.floor(random.uniform() * from.length))];
}

/** Draws until the charge left for the closing ion is one that such a water has. */
export function drawWater(random: Random, kind: Kind): TrueWater {
  for (let turn = 0; turn < 500; turn++) {
    const drawn: Record<string, number> = {};
    for (const [name, range] of Object.entries(kind.ions)) drawn[name] = logBetween(random, range);
    if (kind.sea) {
      const share = logBetween(random, kind.sea);
      for (const [name, amount] of Object.entries(SEA)) drawn[name] = (drawn[name] ?? 0) + share * amount;
    }
    const sum = (names: readonly string[]) => names.reduce((all, name) => all + (drawn[name] ?? 0), 0);
    const cations = sum(CATIONS);
    const open = cations - sum(ANIONS) - (drawn.hydrogencarbonate ?? 0);
    const closed = close(random, kind, drawn, open, cations);
    if (closed) return closed;
  }
  throw new Error(`no water of the kind ${kind.name} was found`);
}

function close(
  random: Random,
  kind: Kind,
  drawn: Record<string, number>,
  open: number,
  cations: number,
): TrueWater | undefined {
  const silica = kind.closing === "hydrogen" ? 0 : logBetween(random, [2, 40]);
  const rest = { kind: kind.name, organic: 0, organicLambda: 40, organicTitrated: 0, silica };
  if (kind.closing === "hydrogen") {
    const hydrogen = -open;
    if (hydrogen < 0.003 || hydrogen > 0.1) return undefined;
    return { ...rest, pH: 3 - Math.log10(hydrogen), milliequivalents: { ...drawn, hydrogen } };
  }
  if (open < 0.1 * cations) return undefined;
  const milliequivalents = { ...drawn, [kind.closing]: (drawn[kind.closing] ?? 0) + open };
  const carbonate = milliequivalents.hydrogencarbonate ?? 0;
  const pressure = kind.carbonDioxide && between(random, kind.carbonDioxide);
  const pH = kind.pH
    ? between(random, kind.pH)
    : Math.min(9, Math.log10(carbonate / 1000) + 6.36 + 1.46 - (pressure ?? -3));
  return { ...rest, pH, milliequivalents };
}
