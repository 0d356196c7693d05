/**
 * The two invented methods: what elutes when, how wide, and what the analyst wrote into batch.json about it.
 * All retention figures are invented; conductances and acid constants are not (solutes.ts).
 */
export interface ColumnIon {
  readonly name: string;
  /** Retention factor in the starting eluent. */
  readonly startingFactor: number;
  /** Order of the dependence on eluent strength, k ∝ c^−order. */
  readonly order: number;
  /** Plates of the linear column. */
  readonly plates: number;
  /** Loading per µmol injected. */
  readonly loadingPerMicromole: number;
  /** Times of the lazy and quick sites and of the pockets in units of σ, and their shares. */
  readonly quick: number;
  readonly lazyShare: number;
  readonly pocketShare: number;
}

export interface TargetIon extends ColumnIon {
  readonly model: "linear" | "quadratic" | "weak";
  /** Half-width in min within which the ion is looked for. */
  readonly window: number;
  /** Calibration levels, mg/L. */
  readonly levels: readonly number[];
}

export interface ChannelMethod {
  readonly channel: "anion" | "cation";
  readonly title: string;
  readonly eluentKind: string;
  /** min, mmol/L */
  readonly program: readonly (readonly [number, number])[];
  /** min */
  readonly holdUp: number;
  /** Time the eluent needs from the pump to the column, min. */
  readonly dwell: number;
  /** mL/min */
  readonly flow: number;
  /** µL */
  readonly loop: number;
  readonly from: number;
  /** End of the record, min. */
  readonly end: number;
  /** Leak of the suppressor in the starting eluent, mol/L, and its rise per mmol/L of eluent. */
  readonly leak: number;
  readonly leakRise: number;
  /** Carbon dioxide dissolved in what reaches the cell, mol/L. */
  readonly carbonDioxide: number;
  readonly targets: readonly TargetIon[];
  readonly strangers: readonly ColumnIon[];
  readonly notMeasured: readonly string[];
}

function scaled(top: number, parts: readonly number[]): number[] {
  return parts.map((part) => Number((top * part).toPrecision(3)));
}

const WIDE = [0.002, 0.005, 0.015, 0.05, 0.15, 0.5, 1] as const;
const MIDDLE = [0.005, 0.015, 0.05, 0.15, 0.4, 1] as const;

function column(
  name: string,
  startingFactor: number,
  order: number,
  plates: number,
  loadingPerMicromole: number,
  quick: number,
  pocketShare: number,
): ColumnIon {
  return { name, startingFactor, order, plates, loadingPerMicromole, quick, lazyShare: 0.1, pocketShare };
}

export const ANION_METHOD: ChannelMethod = {
  channel: "anion",
  title: "Roof runoff, cistern and greenhouse drains: anions",
  eluentKind: "hydroxide",
  program: [
    [0, 11],
    [9.6, 11],
    [9.6, 22],
    [20, 22],
  ],
  holdUp: 1.4,
  dwell: 0.45,
  flow: 0.9,
  loop: 25,
  from: 2.2,
  end: 18.5,
  leak: 9e-6,
  leakRise: 3e-8,
  carbonDioxide: 6e-7,
  notMeasured: ["iodide"],
  targets: [
    {
      ...column("fluoride", 1.2, 0.95, 7000, 2.5, 0.3, 0.006),
      model: "weak",
      window: 0.25,
      levels: scaled(5, MIDDLE),
    },
    {
      ...column("chloride", 2.75, 1.0, 8500, 4, 0.3, 0.008),
      model: "quadratic",
      window: 0.3,
      levels: scaled(60, WIDE),
    },
    {
      ...column("nitrite", 3.7, 1.0, 8000, 4, 0.4, 0.008),
      model: "weak",
      window: 0.3,
      levels: scaled(4, MIDDLE),
    },
    {
      ...column("chlorate", 5.15, 0.98, 7500, 5, 0.4, 0.01),
      model: "linear",
      window: 0.22,
      levels: scaled(10, MIDDLE),
    },
    {
      ...column("bromide", 5.54, 1.0, 7500, 5, 0.45, 0.01),
      model: "linear",
      window: 0.22,
      levels: scaled(10, MIDDLE),
    },
    {
      ...column("nitrate", 6.35, 1.0, 8500, 5, 0.5, 0.012),
      model: "quadratic",
      window: 0.35,
      levels: scaled(50, WIDE),
    },
    {
      ...column("sulfate", 13.9, 1.9, 9000, 3, 0.35, 0.008),
      model: "quadratic",
      window: 0.45,
      levels: scaled(60, WIDE),
    },
    {
      ...column("phosphate", 29, 2.6, 9000, 3, 0.4, 0.012),
      model: "weak",
      window: 0.45,
      levels: scaled(30, WIDE.slice(1)),
    },
  ],
  strangers: [
    column("stranger sulfonate", 1.85, 0.97, 7000, 3, 0.35, 0.008),
    column("stranger lactate", 4.02, 0.95, 7500, 3, 0.4, 0.008),
    column("stranger dicarboxylate", 15, 1.9, 9000, 3, 0.4, 0.01),
    column("stranger phosphonate", 31.2, 2.6, 9000, 3, 0.4, 0.01),
  ],
};

export const CATION_METHOD: ChannelMethod = {
  channel: "cation",
  title: "Roof runoff, cistern and greenhouse drains: cations",
  eluentKind: "methanesulfonic acid",
  program: [
    [0, 22],
    [16, 22],
  ],
  holdUp: 1.3,
  dwell: 0.5,
  flow: 1.0,
  loop: 20,
  from: 2.0,
  end: 15.5,
  leak: 7e-6,
  leakRise: 0,
  carbonDioxide: 3e-7,
  notMeasured: ["barium"],
  targets: [
    {
      ...column("lithium", 1.6, 1.0, 11000, 3, 0.3, 0.006),
      model: "linear",
      window: 0.2,
      levels: scaled(2, MIDDLE),
    },
    {
      ...column("sodium", 2.4, 1.0, 12000, 3, 0.35, 0.008),
      model: "quadratic",
      window: 0.25,
      levels: scaled(50, WIDE),
    },
    {
      ...column("ammonium", 2.8, 1.0, 11000, 3, 0.45, 0.01),
      model: "weak",
      window: 0.22,
      levels: scaled(2.5, MIDDLE),
    },
    {
      ...column("potassium", 4.3, 1.0, 11000, 3, 0.35, 0.008),
      model: "linear",
      window: 0.3,
      levels: scaled(30, WIDE),
    },
    {
      ...column("magnesium", 5.7, 1.95, 12000, 2, 0.3, 0.008),
      model: "quadratic",
      window: 0.35,
      levels: scaled(20, WIDE),
    },
    {
      ...column("calcium", 7.3, 1.95, 12000, 2, 0.3, 0.008),
      model: "quadratic",
      window: 0.4,
      levels: scaled(60, WIDE),
    },
    {
      ...column("strontium", 8.8, 1.95, 12000, 2, 0.3, 0.008),
      model: "linear",
      window: 0.4,
      levels: scaled(5, MIDDLE),
    },
  ],
  strangers: [
    column("stranger methylamine", 3.5, 1.0, 11000, 3, 0.45, 0.008),
    column("stranger dimethylamine", 4.62, 1.0, 11000, 3, 0.45, 0.008),
    column("stranger metal", 6.05, 1.95, 12000, 2, 0.35, 0.008),
  ],
};
