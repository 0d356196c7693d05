/** How the ions of one kind of water lie and scatter, on a logarithmic scale. */
export interface WaterType {
  readonly name: string;
  /** Share among the waters that come to a laboratory (common practice, no source). */
  readonly weight: number;
  /** Middle of each ion, meq/L. */
  readonly middle: Readonly<Record<string, number>>;
  /** pH: mean and standard deviation; where hydrogencarbonate is known, carbon dioxide tells more. */
  readonly pH: readonly [mean: number, sd: number];
  /** Spread of all ions together, of each of the ways ions come together, and of single ions; natural logarithms. */
  readonly spread: {
    readonly size: number;
    readonly salt: number;
    readonly carbonate: number;
    readonly sulfate: number;
    /** Multiplies `OWN_SPREAD`. */
    readonly own: number;
  };
}

/** What each way brings of each ion: sea and road salt, rock of carbonates, gypsum and pyrite. */
export const WAYS = {
  salt: { sodium: 1, chloride: 1, magnesium: 0.3, potassium: 0.4, sulfate: 0.3, bromide: 1 },
  carbonate: { calcium: 1, magnesium: 0.9, hydrogencarbonate: 1 },
  sulfate: { sulfate: 1, calcium: 0.4, magnesium: 0.5, sodium: 0.2 },
} as const;

/** Spread that an ion has of its own. */
export const OWN_SPREAD: Readonly<Record<string, number>> = {
  calcium: 0.35,
  magnesium: 0.45,
  sodium: 0.5,
  potassium: 0.7,
  ammonium: 1.6,
  chloride: 0.45,
  nitrate: 1.4,
  sulfate: 0.5,
  hydrogencarbonate: 0.35,
  fluoride: 1,
  bromide: 0.7,
  phosphate: 1.6,
  "organic anions": 1.1,
};

const RARE = { ammonium: 0.003, fluoride: 0.007, bromide: 0.001, phosphate: 0.001 };

/**
 * Waters as they are published, in round numbers: log-normal, three ways of dissolving moving ions together, wide on
 * purpose, because they shall weigh explanations and not waters.
 *
 * @source world mean of rivers: M. Meybeck 1979 and D.A. Livingstone, USGS Prof. Paper 440-G (1963); rain: E.K. Berner and
 *   R.A. Berner, Global Environment (1996); ground and saline waters: J.D. Hem, USGS Water-Supply Paper 2254 (1985); all
 *   from memory and rounded. Organic anions: some 6 to 10 µeq for a milligram of dissolved organic carbon, E.M. Thurman,
 *   Organic Geochemistry of Natural Waters (1985), from memory. Spreads: common practice, no source
 */
export const WATER_TYPES: readonly WaterType[] = [
  {
    name: "precipitation",
    weight: 0.15,
    pH: [5, 0.6],
    middle: {
      "organic anions": 0.005,
      ...{ sodium: 0.018, potassium: 0.003, ammonium: 0.02, magnesium: 0.006, calcium: 0.012 },
      ...{ chloride: 0.022, nitrate: 0.02, sulfate: 0.028, hydrogencarbonate: 0.004 },
      ...{ fluoride: 0.0008, bromide: 0.0001, phosphate: 0.0004 },
    },
    spread: { size: 0.7, salt: 1.2, carbonate: 0.4, sulfate: 0.4, own: 1 },
  },
  {
    name: "soft upland water",
    weight: 0.12,
    pH: [6.3, 0.7],
    middle: {
      "organic anions": 0.03,
      ...{ sodium: 0.15, potassium: 0.015, magnesium: 0.07, calcium: 0.12 },
      ...{ chloride: 0.12, nitrate: 0.008, sulfate: 0.08, hydrogencarbonate: 0.12, ...RARE },
    },
    spread: { size: 0.6, salt: 0.7, carbonate: 0.6, sulfate: 0.6, own: 1 },
  },
  {
    name: "river",
    weight: 0.2,
    pH: [7.5, 0.5],
    middle: {
      "organic anions": 0.04,
      ...{ sodium: 0.3, potassium: 0.04, magnesium: 0.3, calcium: 0.75 },
      ...{ chloride: 0.22, nitrate: 0.03, sulfate: 0.22, hydrogencarbonate: 0.9, ...RARE },
    },
    spread: { size: 0.6, salt: 0.8, carbonate: 0.6, sulfate: 0.7, own: 1 },
  },
  {
    name: "hard water",
    weight: 0.23,
    pH: [7.4, 0.3],
    middle: {
      "organic anions": 0.02,
      ...{ sodium: 0.9, potassium: 0.06, magnesium: 1.2, calcium: 3.5 },
      ...{ chloride: 0.8, nitrate: 0.12, sulfate: 0.9, hydrogencarbonate: 4.3, ...RARE },
    },
    spread: { size: 0.3, salt: 0.8, carbonate: 0.3, sulfate: 0.8, own: 1 },
  },
  {
    name: "sodium hydrogencarbonate water",
    weight: 0.06,
    pH: [8.1, 0.4],
    middle: {
      "organic anions": 0.03,
      ...{ sodium: 6, potassium: 0.08, magnesium: 0.3, calcium: 0.5 },
      ...{ chloride: 1.3, nitrate: 0.02, sulfate: 0.7, hydrogencarbonate: 4.8, ...RARE },
    },
    spread: { size: 0.5, salt: 0.4, carbonate: 0.2, sulfate: 0.8, own: 1.3 },
  },
  {
    name: "sulfate water",
    weight: 0.06,
    pH: [7.2, 0.5],
    middle: {
      "organic anions": 0.02,
      ...{ sodium: 3, potassium: 0.1, magnesium: 4, calcium: 9 },
      ...{ chloride: 1.8, nitrate: 0.05, sulfate: 11, hydrogencarbonate: 4, ...RARE },
    },
    spread: { size: 0.6, salt: 0.8, carbonate: 0.3, sulfate: 0.5, own: 1.2 },
  },
  {
    name: "saline water",
    weight: 0.06,
    pH: [7.6, 0.5],
    middle: {
      "organic anions": 0.03,
      ...{ sodium: 30, potassium: 0.7, magnesium: 8, calcium: 5 },
      ...{ chloride: 38, nitrate: 0.03, sulfate: 5, hydrogencarbonate: 4, fluoride: 0.03, bromide: 0.06 },
      ...{ ammonium: 0.02, phosphate: 0.001 },
    },
    spread: { size: 0.4, salt: 1, carbonate: 0.4, sulfate: 0.5, own: 1.2 },
  },
  {
    name: "drainage and nutrient solution",
    weight: 0.06,
    pH: [6.4, 0.7],
    middle: {
      "organic anions": 0.3,
      ...{ sodium: 1.5, potassium: 3, ammonium: 0.2, magnesium: 2.5, calcium: 6 },
      ...{ chloride: 1.5, nitrate: 6, sulfate: 3, hydrogencarbonate: 1, phosphate: 0.5 },
      ...{ fluoride: 0.01, bromide: 0.001 },
    },
    spread: { size: 0.6, salt: 0.6, carbonate: 0.4, sulfate: 0.5, own: 1.3 },
  },
  {
    name: "sewage and its effluent",
    weight: 0.04,
    pH: [7.4, 0.3],
    middle: {
      "organic anions": 0.4,
      ...{ sodium: 4.5, potassium: 0.45, ammonium: 1, magnesium: 1, calcium: 3 },
      ...{ chloride: 3.5, nitrate: 0.3, sulfate: 1.5, hydrogencarbonate: 4.5, phosphate: 0.15 },
      ...{ fluoride: 0.01, bromide: 0.002 },
    },
    spread: { size: 0.3, salt: 0.5, carbonate: 0.3, sulfate: 0.5, own: 1 },
  },
  {
    name: "anything else",
    weight: 0.02,
    pH: [7, 1.5],
    middle: {
      "organic anions": 0.05,
      ...{ sodium: 1, potassium: 0.1, ammonium: 0.02, magnesium: 0.5, calcium: 1 },
      ...{ chloride: 1, nitrate: 0.1, sulfate: 0.7, hydrogencarbonate: 1, phosphate: 0.01 },
      ...{ fluoride: 0.01, bromide: 0.003 },
    },
    spread: { size: 2.5, salt: 0.7, carbonate: 0.5, sulfate: 0.5, own: 3 },
  },
];
