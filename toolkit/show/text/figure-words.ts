/** A figure of a peak: how it is worked out and who defined it. */
export interface FigureWords {
  readonly name: string;
  readonly unit: string;
  readonly formula: string;
  readonly standard: string;
}

const PHARMACOPOEIA = "USP <621>, Ph. Eur. 2.2.46 (harmonised)";

/**
 * The figures of `PeakFigures`, in the order in which they are read.
 *
 * @source as `peakFigures`: IUPAC 1993, USP <621> and Ph. Eur. 2.2.46, Foley and Dorsey 1983 (all from memory)
 */
export const FIGURE_WORDS = {
  widthAtHalfHeight: { name: "width at half height", unit: "min", formula: "W½", standard: PHARMACOPOEIA },
  widthAtTenthHeight: {
    name: "width at 10 %",
    unit: "min",
    formula: "W₀.₁ = A + B",
    standard: "Foley–Dorsey 1983",
  },
  retentionFactor: { name: "retention factor", unit: "", formula: "k = (t − t₀)/t₀", standard: "IUPAC 1993" },
  plateNumber: { name: "plates, half height", unit: "", formula: "5.545 (t/W½)²", standard: PHARMACOPOEIA },
  plateNumberFoleyDorsey: {
    name: "plates, Foley–Dorsey",
    unit: "",
    formula: "41.7 (t/W₀.₁)²/(B/A + 1.25)",
    standard: "Foley–Dorsey 1983",
  },
  plateNumberMoments: { name: "plates, moments", unit: "", formula: "M₁²/M₂", standard: "IUPAC 1993" },
  asymmetry: { name: "asymmetry at 10 %", unit: "", formula: "B/A", standard: "Foley–Dorsey 1983" },
  tailing: { name: "symmetry factor at 5 %", unit: "", formula: "W₀.₀₅/(2 A₀.₀₅)", standard: PHARMACOPOEIA },
} as const satisfies Readonly<Record<string, FigureWords>>;

export type NamedFigure = keyof typeof FIGURE_WORDS;
