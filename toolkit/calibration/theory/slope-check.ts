import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { effectiveMolarConductivity } from "../../water/conductivity/effective-conductivity.js";
import { isStrongIon } from "../../water/unknowns/unknown-equivalents.js";
import { type Slip, slipsOf } from "./slope-slips.js";

/** A point of one ion's calibration; give all ions at the same area, so that water and carbonic acid cancel. */
export interface SlopePoint {
  readonly ion: string;
  /** µS/cm·min */
  readonly area: number;
  /** mg/L injected that gives this area, read from the calibration. */
  readonly concentration: number | MeasuredValue;
  /** Concentration at the cell in the middle of the peak, µmol/L: how far a weak ion is dissociated. */
  readonly cellConcentration?: number;
}

export interface SlopeCheckOptions {
  /** µL; without it γ is relative to 1 µL. */
  readonly loop?: number;
  /** mL/min @default 1 */
  readonly flow?: number;
  /** Relative standard uncertainty of a standard. @default 0.01 */
  readonly uStandard?: number;
  /** Relative standard uncertainty of a limiting conductivity. @default 0.003 */
  readonly uConductivity?: number;
  /** γ of an earlier day, on the same loop and flow: tells the instrument from the standards. */
  readonly previousGamma?: number;
}

/** What the slope of one ion says. */
export interface JudgedSlope {
  readonly ion: string;
  /** Area over what theory gives for the amount. */
  readonly gamma: number;
  /** γ over the median of the strong ions. */
  readonly ratio: number;
  /** Standard uncertainty of the ratio. */
  readonly u: number;
  /** (ratio − 1)/u */
  readonly z: number;
  readonly strong: boolean;
  readonly passed: boolean;
  /** Slips that agree with the ratio within 3 u, nearest first. */
  readonly slips: readonly (Slip & { readonly z: number })[];
  /** The nearest of them, or what a ratio that is none of them stands for; undefined where the slope passes. */
  readonly likely: string | undefined;
}

export interface SlopeCheck {
  readonly kind: "slope-check";
  /** Weighted median of γ over the strong ions. */
  readonly gamma: number;
  readonly ions: readonly JudgedSlope[];
  readonly passed: boolean;
  /** What moved all ions together, in a sentence. */
  readonly instrument: string | undefined;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const KNOWN_OPTIONS = {
  loop: true,
  flow: true,
  uStandard: true,
  uConductivity: true,
  previousGamma: true,
} as const;
/** |z| above this is no chance. */
const LIMIT = 3;
/** What is not known of a weak ion's dissociation: with and without its concentration at the cell (common practice, no source). */
const WEAK_KNOWN = 0.05;
const WEAK_UNKNOWN = 0.15;
/** Middle of a weak ion's peak where none is given, µmol/L. */
const TYPICAL_CELL = 20;
const INSTRUMENT_MOVED = 0.03;

/**
 * Slopes of suppressed conductivity calibrations against theory: area over amount is the same for all ions but for their
 * conductivity, so a standard that was made or entered wrong stands out, and its ratio names the slip.
 *
 *     γ = A·F/(1000·Λ·n),  Λ per mole with its suppressed partner;  z = (γ/γ̄ − 1)/u
 *
 * A area, F flow, n amount injected; γ̄ weighted median over the strong ions, u² = u²(c) + u²(standard) + u²(Λ) + u²(γ̄).
 * Valid where the ions are compared at one area; ions that are all wrong by one factor move γ̄ and look right, which an
 * earlier γ shows. Weak ions are judged for large slips only.
 *
 * @throws IonbookError "bad-points", "unknown-option", "bad-option", "no-reference" with fewer than two strong ions, "bad-reference" for areas or concentrations that
 *   are not positive, "unknown-ion", "no-conductivity"
 * @source area theorem from F. Kohlrausch's law (derived); conductivities as `ion(name).sources`
 */
export function slopeAgainstTheory(
  points: readonly SlopePoint[],
  options: SlopeCheckOptions = {},
): SlopeCheck {
  requireSlopes(points);
  requireKnownOptions(options, KNOWN_OPTIONS, "slopeAgainstTheory");
  const judged = points.map((point) => measuredGamma(point, options));
  const strong = judged.filter((each) => each.strong);
  if (strong.length < 2) {
    throw new IonbookError(
      "no-reference",
      `${strong.length} strong ion is calibrated: slopes are compared with each other, which takes two (chloride, nitrate, sulfate; sodium, potassium)`,
    );
  }
  const gamma = weightedMedian(strong);
  const uMedian = 1.25 / Math.sqrt(strong.reduce((sum, { u }) => sum + 1 / u ** 2, 0));
  const ions = judged.map((each) => judgeSlope(each, gamma, uMedian));
  const result: SlopeCheck = {
    kind: "slope-check",
    gamma,
    ions,
    passed: ions.every(({ passed }) => passed),
    instrument: instrumentMoved(gamma, options.previousGamma),
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function requireSlopes(points: unknown): void {
  const bad = Array.isArray(points) && points.some((point) => typeof point !== "object" || point === null);
  if (Array.isArray(points) && !bad) return;
  throw new IonbookError(
    "bad-points",
    'slopeAgainstTheory needs one list of ions: slopeAgainstTheory([{ ion: "chloride", area: 1.22, concentration: 5 }, …], { loop: 25, flow: 1 })',
  );
}

interface MeasuredGamma {
  readonly ion: string;
  readonly gamma: number;
  /** Relative. */
  readonly u: number;
  readonly strong: boolean;
}

function measuredGamma(point: SlopePoint, options: SlopeCheckOptions): MeasuredGamma {
  const { loop = 1, flow = 1, uStandard = 0.01, uConductivity = 0.003 } = options;
  const { name, molarMass } = ion(point.ion);
  const { area, concentration, cellConcentration } = point;
  const value = typeof concentration === "number" ? concentration : concentration?.value;
  if (!(area > 0 && value > 0 && loop > 0 && flow > 0)) {
    throw new IonbookError(
      "bad-reference",
      `${name}: area ${area}, concentration ${value} mg/L, loop ${loop} µL and flow ${flow} mL/min must be above 0`,
    );
  }
  const uReading = typeof concentration === "number" ? 0 : concentration.u / value;
  const strong = isStrongIon(name);
  // mg/L × µL / (g/mol) is nmol; µS/cm·min × mL/min over nmol × S·cm²/mol is 1000.
  const theory =
    (effectiveMolarConductivity(name, cellConcentration ?? TYPICAL_CELL) * value * loop) / molarMass;
  const unknown = strong ? 0 : cellConcentration === undefined ? WEAK_UNKNOWN : WEAK_KNOWN;
  return {
    ion: name,
    gamma: (1000 * area * flow) / theory,
    u: Math.hypot(uReading, uStandard, uConductivity, unknown),
    strong,
  };
}

function weightedMedian(values: readonly MeasuredGamma[]): number {
  const sorted = [...values].sort((a, b) => a.gamma - b.gamma);
  const half = 0.5 * sorted.reduce((sum, { u }) => sum + 1 / u ** 2, 0);
  let sum = 0;
  for (const [i, { gamma, u }] of sorted.entries()) {
    sum += 1 / u ** 2;
    if (Math.abs(sum - half) < 1e-9 * half && i + 1 < sorted.length)
      return Math.sqrt(gamma * sorted[i + 1].gamma);
    if (sum > half) return gamma;
  }
  return sorted[sorted.length - 1].gamma;
}

function judgeSlope(
  { ion: name, gamma, u: own, strong }: MeasuredGamma,
  middle: number,
  uMedian: number,
): JudgedSlope {
  const u = Math.hypot(own, uMedian);
  const ratio = gamma / middle;
  const z = (ratio - 1) / u;
  const passed = Math.abs(z) <= LIMIT;
  const slips = passed
    ? []
    : slipsOf(name)
        .map((slip) => ({ ...slip, z: Math.log(ratio / slip.ratio) / u }))
        .filter((slip) => Math.abs(slip.z) <= LIMIT)
        .sort((a, b) => Math.abs(a.z) - Math.abs(b.z));
  return {
    ion: name,
    gamma,
    ratio,
    u,
    z,
    strong,
    passed,
    slips,
    likely: passed ? undefined : (slips[0]?.meaning ?? otherwise(ratio, strong)),
  };
}

function otherwise(ratio: number, strong: boolean): string {
  if (!strong)
    return "carbon dioxide or the background has changed, or the standard is wrong: check with a fresh one";
  return ratio < 1
    ? "standard weaker than stated, decayed, or ion lost on column or suppressor"
    : "standard stronger than stated, or something elutes with it (look at the width)";
}

function instrumentMoved(gamma: number, previous: number | undefined): string | undefined {
  if (previous === undefined || Math.abs(gamma / previous - 1) <= INSTRUMENT_MOVED) return undefined;
  const percent = (100 * (gamma / previous - 1)).toFixed(1);
  return `all ions together moved by ${percent} %: cell constant, flow, loop or temperature compensation, not the standards`;
}

function describe({ gamma, ions, instrument }: SlopeCheck): string {
  const lines = ions.map(
    ({ ion: name, ratio, z, likely }) =>
      `${name}: slope ${ratio.toPrecision(3)} of theory (z ${z.toFixed(1)})${likely === undefined ? "" : `, ${likely}`}`,
  );
  return [`γ ${gamma.toPrecision(4)}`, ...lines, ...(instrument === undefined ? [] : [instrument])].join(
    "\n",
  );
}
