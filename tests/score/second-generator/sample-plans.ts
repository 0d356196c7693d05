/**
 * The invented water of the invented garden: typical contents of twelve samples, from which a seed makes one
 * particular set. Contents in mg/L of the liquid, or mg/kg as received for the extracts.
 */
export interface SamplePlan {
  readonly name: string;
  readonly matrix: string;
  /** Dilutions injected on both channels. */
  readonly dilutions: readonly number[];
  readonly typical: Readonly<Record<string, number>>;
  /** Strangers in the liquid as injected undiluted, µmol/L. */
  readonly strangers: Readonly<Record<string, number>>;
  readonly extract?: {
    readonly mass: number;
    readonly volume: number;
    readonly dryFraction?: number;
    readonly dryBasis: boolean;
  };
}

const RAIN_LIKE = {
  chloride: 1.6,
  nitrate: 2.2,
  sulfate: 1.4,
  sodium: 0.9,
  potassium: 0.25,
  calcium: 0.8,
  magnesium: 0.14,
  ammonium: 0.5,
};

function times(values: Readonly<Record<string, number>>, factor: number): Record<string, number> {
  return Object.fromEntries(Object.entries(values).map(([ion, value]) => [ion, value * factor]));
}

const CISTERN = {
  fluoride: 0.09,
  chloride: 9,
  nitrite: 0.12,
  chlorate: 1.4,
  bromide: 0.11,
  nitrate: 6,
  sulfate: 9,
  phosphate: 0.7,
  lithium: 0.03,
  sodium: 7,
  ammonium: 0.3,
  potassium: 2.5,
  magnesium: 1.3,
  calcium: 17,
  strontium: 0.08,
};

const DRAIN = {
  fluoride: 0.6,
  chloride: 70,
  nitrite: 1.6,
  chlorate: 3,
  bromide: 1.1,
  nitrate: 420,
  sulfate: 260,
  phosphate: 55,
  lithium: 0.1,
  sodium: 45,
  ammonium: 6,
  potassium: 210,
  magnesium: 38,
  calcium: 150,
  strontium: 0.7,
};

const LEAF = {
  fluoride: 12,
  chloride: 900,
  nitrite: 9,
  chlorate: 8,
  bromide: 12,
  nitrate: 1500,
  sulfate: 1100,
  phosphate: 700,
  lithium: 2,
  sodium: 260,
  ammonium: 40,
  potassium: 1900,
  magnesium: 300,
  calcium: 900,
  strontium: 6,
};

export const SAMPLE_PLANS: readonly SamplePlan[] = [
  {
    name: "rain, open field",
    matrix: "rain",
    dilutions: [1],
    typical: RAIN_LIKE,
    strangers: { "stranger phosphonate": 2.5 },
  },
  {
    name: "rain under the lime tree",
    matrix: "rain",
    dilutions: [1],
    typical: { ...times(RAIN_LIKE, 1.8), phosphate: 0.5 },
    strangers: { "stranger sulfonate": 0.9 },
  },
  {
    name: "tile roof, first flush",
    matrix: "runoff",
    dilutions: [1],
    typical: { ...times(RAIN_LIKE, 5), fluoride: 0.12, nitrite: 0.1, strontium: 0.06, phosphate: 0.6 },
    strangers: { "stranger sulfonate": 2.5 },
  },
  {
    name: "tile roof, later",
    matrix: "runoff",
    dilutions: [1],
    typical: { ...times(RAIN_LIKE, 1.4), fluoride: 0.05, phosphate: 0.3, strontium: 0.03 },
    strangers: { "stranger phosphonate": 1.2, "stranger metal": 0.8 },
  },
  {
    name: "cistern north",
    matrix: "cistern",
    dilutions: [1],
    typical: CISTERN,
    strangers: { "stranger sulfonate": 1.6, "stranger dicarboxylate": 3 },
  },
  {
    name: "cistern south",
    matrix: "cistern",
    dilutions: [1],
    typical: { ...times(CISTERN, 1.5), lithium: 0.05 },
    strangers: { "stranger dicarboxylate": 1.5, "stranger metal": 3 },
  },
  {
    name: "tap",
    matrix: "tap water",
    dilutions: [1],
    typical: {
      ...times(CISTERN, 2.6),
      calcium: 58,
      nitrite: 0,
      phosphate: 0,
      chlorate: 0.25,
      bromide: 0.2,
      ammonium: 0,
    },
    strangers: {},
  },
  {
    name: "drain, bench 1",
    matrix: "drain",
    dilutions: [5, 50],
    typical: DRAIN,
    strangers: { "stranger lactate": 90, "stranger methylamine": 30, "stranger metal": 40 },
  },
  {
    name: "drain, bench 3",
    matrix: "drain",
    dilutions: [5, 40],
    typical: times(DRAIN, 0.7),
    strangers: { "stranger dicarboxylate": 60, "stranger dimethylamine": 45 },
  },
  {
    name: "nutrient tank",
    matrix: "tank",
    dilutions: [10, 100],
    typical: { ...times(DRAIN, 2.2), nitrite: 0, ammonium: 22 },
    strangers: { "stranger phosphonate": 60 },
  },
  {
    name: "moss mat",
    matrix: "plant",
    dilutions: [1, 10],
    typical: LEAF,
    strangers: { "stranger lactate": 9, "stranger dimethylamine": 11, "stranger methylamine": 4 },
    extract: { mass: 2.1, volume: 50, dryBasis: false },
  },
  {
    name: "potting peat",
    matrix: "peat",
    dilutions: [2, 10],
    typical: times(LEAF, 0.8),
    strangers: { "stranger sulfonate": 6, "stranger metal": 12 },
    extract: { mass: 2.4, volume: 100, dryFraction: 0.93, dryBasis: true },
  },
];
