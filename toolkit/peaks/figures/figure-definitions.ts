/** A figure of merit: how it is worked out, who defined it, and where it holds. */
export interface FigureDefinition {
  readonly name: string;
  /** Empty for a pure number. */
  readonly unit: string;
  readonly formula: string;
  readonly standard: string;
  /** Where the figure means what its name says. */
  readonly valid: string;
}

const PHARMACOPOEIA = "USP <621>, Ph. Eur. 2.2.46 (harmonised)";
const IUPAC = "IUPAC 1993";
const FOLEY_DORSEY = "Foley–Dorsey 1983";
const COMMON = "common practice";

/**
 * Every figure of peaks, pairs and columns with its formula and its standard, in the order in which they are read.
 *
 * t apex; t₀ hold-up time; W width at a share of the height h, W_b between the tangents of the inflections; A and B the
 * parts of a width before and after the apex; M₁, M₂ mean and variance; σ, τ of the exponentially modified Gaussian.
 *
 * @source IUPAC, Pure Appl. Chem. 65 (1993) 819; USP <621> and Ph. Eur. 2.2.46 (harmonised text); Foley and Dorsey,
 *   Anal. Chem. 55 (1983) 730 (all from memory); the range of each from closed-form exponentially modified Gaussians
 */
export const figureDefinitions = {
  widthAtHalfHeight: {
    name: "width at half height",
    unit: "min",
    formula: "W½",
    standard: PHARMACOPOEIA,
    valid: "12 samples or more across it",
  },
  widthAtTenthHeight: {
    name: "width at 10 %",
    unit: "min",
    formula: "W₀.₁ = A + B",
    standard: FOLEY_DORSEY,
    valid: "no valley above 10 % of the height",
  },
  baseWidth: {
    name: "width at the base",
    unit: "min",
    formula: "W_b between the tangents of the inflections",
    standard: IUPAC,
    valid: "4σ for a Gaussian",
  },
  retentionFactor: {
    name: "retention factor",
    unit: "",
    formula: "k = (t − t₀)/t₀",
    standard: IUPAC,
    valid: "isocratic; in a gradient only apparent, k_app",
  },
  plateNumber: {
    name: "plates, half height",
    unit: "",
    formula: "5.545 (t/W½)²",
    standard: PHARMACOPOEIA,
    valid: "exact for a Gaussian; 6 % high at B/A 1.09, 32 % at 1.36, twice at 2.06; isocratic",
  },
  plateNumberTangent: {
    name: "plates, tangents",
    unit: "",
    formula: "16 (t/W_b)²",
    standard: IUPAC,
    valid: "exact for a Gaussian; as high for a tail as the half height; isocratic",
  },
  plateNumberFiveSigma: {
    name: "plates, 4.4 % of the height",
    unit: "",
    formula: "25 (t/W₀.₀₄₄)²",
    standard: COMMON,
    valid: "exact for a Gaussian; S/N 60 or more; isocratic",
  },
  plateNumberFoleyDorsey: {
    name: "plates, Foley–Dorsey",
    unit: "",
    formula: "41.7 (t/W₀.₁)²/(B/A + 1.25)",
    standard: FOLEY_DORSEY,
    valid: "tailing peaks, B/A from 1.0 to 2.8; isocratic",
  },
  plateNumberMoments: {
    name: "plates, moments",
    unit: "",
    formula: "M₁²/M₂",
    standard: IUPAC,
    valid: "any shape whose record reaches 0.1 % of the height on both sides; isocratic",
  },
  asymmetry: {
    name: "asymmetry at 10 %",
    unit: "",
    formula: "B/A",
    standard: FOLEY_DORSEY,
    valid: "no valley above 10 % of the height",
  },
  tailing: {
    name: "symmetry factor at 5 %",
    unit: "",
    formula: "W₀.₀₅/(2 A₀.₀₅)",
    standard: PHARMACOPOEIA,
    valid: "S/N 60 or more",
  },
  signalToNoise: {
    name: "signal to noise, pharmacopoeial",
    unit: "",
    formula: "2H/h",
    standard: PHARMACOPOEIA,
    valid: "h peak to peak of a blank over 5 W½ or more where the peak would be; no detection limit",
  },
  signalToNoiseRms: {
    name: "signal to noise, rms",
    unit: "",
    formula: "H/s",
    standard: COMMON,
    valid: "s standard deviation of a blank about a straight line; no detection limit",
  },
  resolution: {
    name: "resolution, half height",
    unit: "",
    formula: "1.18 (t₂ − t₁)/(W½,₁ + W½,₂)",
    standard: PHARMACOPOEIA,
    valid: "peaks of like height; beside a giant look at peak to valley",
  },
  resolutionTangent: {
    name: "resolution, tangents",
    unit: "",
    formula: "2 (t₂ − t₁)/(W_b,₁ + W_b,₂)",
    standard: IUPAC,
    valid: "as half height",
  },
  resolutionMoments: {
    name: "resolution, statistical",
    unit: "",
    formula: "(M₁,₂ − M₁,₁)/(2 (√M₂,₁ + √M₂,₂))",
    standard: COMMON,
    valid: "any shape; fitted peaks or whole records",
  },
  peakToValley: {
    name: "peak to valley",
    unit: "",
    formula: "H_p/H_v",
    standard: PHARMACOPOEIA,
    valid: "heights more than 10 : 1; H_p of the minor peak, both above the extrapolated baseline",
  },
  holdUpTime: {
    name: "hold-up time",
    unit: "min",
    formula: "t₀: fitted, unretained ion, onset of the water dip, or επd²L/(4F)",
    standard: IUPAC,
    valid: "in this order of trust",
  },
  peakCapacityIsocratic: {
    name: "peak capacity, isocratic",
    unit: "",
    formula: "1 + (√N/4) ln(t_last/t₀)",
    standard: COMMON,
    valid: "one plate number for all peaks",
  },
  peakCapacityGradient: {
    name: "peak capacity, gradient",
    unit: "",
    formula: "1 + t_g/(4σ̄)",
    standard: COMMON,
    valid: "resolution 1 between neighbours, one width for all peaks",
  },
  peakCapacitySegments: {
    name: "peak capacity, several segments",
    unit: "",
    formula: "1 + ∫dt/(4σ(t))",
    standard: COMMON,
    valid: "resolution 1, width straight between the peaks given",
  },
} as const satisfies Readonly<Record<string, FigureDefinition>>;

/** A figure with a definition. */
export type FigureName = keyof typeof figureDefinitions;
