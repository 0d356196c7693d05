import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { convert } from "../../ions/units.js";
import { fitPolynomial, type PolynomialFit } from "../../numeric/fit-polynomial.js";
import {
  combineLinear,
  exactly,
  fromSources,
  isMeasuredValue,
  type MeasuredValue,
  propagate,
} from "../../uncertainty/measured.js";

/** One reading of a titration. */
export interface TitrationReading {
  /** Acid added so far, mL. */
  readonly volume: number;
  readonly pH: number;
}

export interface GranOptions {
  /** Sample, mL; its uncertainty is kept. */
  readonly sampleVolume: number | MeasuredValue;
  /** Strong acid, mol/L of H⁺; its uncertainty is kept. */
  readonly acid: number | MeasuredValue;
  /** Readings between these pH lie on the line. @default [3, 4] */
  readonly window?: readonly [low: number, high: number];
  /** Name for the source of the line's uncertainty. @default one of its own */
  readonly source?: string;
}

/** One reading on Gran's scale. */
export interface GranPoint {
  readonly volume: number;
  readonly pH: number;
  /** (V₀ + V)·10^−pH, mmol. */
  readonly free: number;
  /** Whether it lies in the window. */
  readonly used: boolean;
}

export interface GranAlkalinity {
  readonly kind: "gran-alkalinity";
  /** mL */
  readonly equivalenceVolume: MeasuredValue;
  /** meq/L */
  readonly alkalinity: MeasuredValue;
  /** The same, mg/L as CaCO3. */
  readonly alkalinityAsCaCO3: MeasuredValue;
  readonly points: readonly GranPoint[];
  /** Line through the used points: mmol and mmol/mL. */
  readonly intercept: number;
  readonly slope: number;
  /** Slope over the concentration of the acid: the activity coefficient of H⁺, 0.8 to 1, times 10 to the error of the pH meter. */
  readonly slopeRatio: number;
  /** Standard deviation of a reading about the line, in pH. */
  readonly residualPH: number;
  readonly dof: number;
  readonly warnings: readonly string[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const KNOWN: Readonly<Record<keyof GranOptions, true>> = {
  sampleVolume: true,
  acid: true,
  window: true,
  source: true,
};
/** Above pH 4 hydrogencarbonate still takes up acid, below 3 electrodes and activity bend the line (common practice, no source). */
const WINDOW = [3, 4] as const;
const LEAST_POINTS = 3;
/** Activity of H⁺ and a pH meter within 0.04 keep the slope between these. */
const SLOPE_RATIO = [0.75, 1.1] as const;

/**
 * Alkalinity from the acid branch of a titration curve.
 *
 * F = (V₀ + V)·10^−pH rises beyond the equivalence point in proportion to the acid in excess: F = b₀ + b₁·V, V_e = −b₀/b₁,
 * Alk = 1000·V_e·c/V₀ meq/L; V₀ sample and V acid added in mL, c acid in mol/L. Readings are weighted by 1/F², since an
 * error of pH is a relative error of F. u(V_e) from the scatter about the line with n − 2 degrees of freedom.
 *
 * Valid where nothing else takes up protons within the window: little fluoride, phosphate, organic acids and sulfate.
 *
 * @param readings in any order; those outside the window are shown and not used
 * @throws IonbookError "bad-reading", "bad-volume", "bad-acid", "bad-window"; "too-few-points" for fewer than three in the window;
 *   "no-line" where F does not rise; "unknown-option"
 * @source G. Gran, Analyst 77 (1952) 661
 */
export function granAlkalinity(readings: readonly TitrationReading[], options: GranOptions): GranAlkalinity {
  requireKnownOptions(options, KNOWN, "granAlkalinity");
  const sample = readPositive(options.sampleVolume, "bad-volume", "sampleVolume", "mL");
  const acid = readPositive(options.acid, "bad-acid", "acid", "mol/L");
  const points = pointsOf(readings, sample.value, readWindow(options.window));
  const used = points.filter((point) => point.used);
  const line = lineThrough(used);
  const [intercept, slope] = line.coefficients;
  const equivalenceVolume = crossing(line, options.source);
  const alkalinity = propagate(
    ({ V, c, V0 }) => (1000 * V * c) / V0,
    { V: equivalenceVolume, c: acid, V0: sample },
    "meq/L",
  );
  const factor = convert(1, "meq/L", "mg/L as CaCO3", "hydrogencarbonate");
  const slopeRatio = slope / acid.value;
  const result: GranAlkalinity = {
    kind: "gran-alkalinity",
    equivalenceVolume,
    alkalinity,
    alkalinityAsCaCO3: combineLinear([{ value: alkalinity, factor }], "mg/L as CaCO3"),
    points,
    intercept,
    slope,
    slopeRatio,
    // Weighted by 1/F², the scatter is relative; divided by ln 10 it is one of pH.
    residualPH: line.residualStandardDeviation / Math.LN10,
    dof: line.dof,
    warnings: warningsOf(slopeRatio, equivalenceVolume, used),
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function readPositive(
  given: number | MeasuredValue,
  code: "bad-volume" | "bad-acid",
  name: string,
  unit: string,
): MeasuredValue {
  const value = isMeasuredValue(given) ? given : undefined;
  const size = value?.value ?? given;
  if (!(typeof size === "number" && size > 0 && Number.isFinite(size))) {
    throw new IonbookError(code, `${name} is ${String(size)}; give a positive number of ${unit}`);
  }
  if (value !== undefined && value.unit !== unit) {
    throw new IonbookError(code, `${name} is given in "${value.unit}"; it is wanted in ${unit}`);
  }
  return value ?? exactly(size, unit);
}

function readWindow(window: readonly [number, number] = WINDOW): readonly [number, number] {
  const [low, high] = Array.isArray(window) ? window : [Number.NaN, Number.NaN];
  if (low >= 1 && high <= 5 && low < high) return [low, high];
  throw new IonbookError(
    "bad-window",
    `the window is ${JSON.stringify(window)}; give two pH between 1 and 5, the lower one first, such as [3, 4]`,
  );
}

function pointsOf(
  readings: readonly TitrationReading[],
  sampleVolume: number,
  [low, high]: readonly [number, number],
): readonly GranPoint[] {
  if (!Array.isArray(readings)) {
    throw new IonbookError(
      "bad-reading",
      "a titration is a list of readings: [{ volume: 1.8, pH: 3.72 }, …]",
    );
  }
  const points = readings.map((reading, i) => {
    const { volume, pH } = (reading ?? {}) as TitrationReading;
    if (!(volume >= 0 && Number.isFinite(volume) && pH >= 0 && pH <= 14)) {
      throw new IonbookError(
        "bad-reading",
        `reading ${i + 1} has the volume ${volume} mL and the pH ${pH}; give { volume: 1.8, pH: 3.72 }`,
      );
    }
    return { volume, pH, free: (sampleVolume + volume) * 10 ** -pH, used: pH >= low && pH <= high };
  });
  const used = points.filter((point) => point.used).length;
  if (used >= LEAST_POINTS) return points.sort((a, b) => a.volume - b.volume);
  throw new IonbookError(
    "too-few-points",
    `${used} readings lie between pH ${low} and ${high}; titrate further, or widen the window: at least ${LEAST_POINTS} are needed`,
  );
}

function lineThrough(used: readonly GranPoint[]): PolynomialFit {
  const free = used.map((point) => point.free);
  const line = fitPolynomial(
    used.map(({ volume }) => volume),
    free,
    1,
    { standardDeviations: free, standardDeviationsAre: "relative" },
  );
  if (line.coefficients[1] > 0) return line;
  throw new IonbookError(
    "no-line",
    "the free acid does not rise with the acid added: look at the order of volumes and pH",
  );
}

/** V_e = −b₀/b₁ with the uncertainty of the line. */
function crossing(line: PolynomialFit, source: string | undefined): MeasuredValue {
  const [b0, b1] = line.coefficients;
  const [[v00, v01], [, v11]] = line.covariance;
  const [s0, s1] = [-1 / b1, b0 / b1 ** 2];
  const variance = s0 ** 2 * v00 + 2 * s0 * s1 * v01 + s1 ** 2 * v11;
  const name = source ?? `Gran line to ${(-b0 / b1).toPrecision(12)} mL`;
  return fromSources(-b0 / b1, "mL", [
    { source: name, contribution: Math.sqrt(Math.max(0, variance)), dof: line.dof },
  ]);
}

function warningsOf(
  slopeRatio: number,
  equivalence: MeasuredValue,
  used: readonly GranPoint[],
): readonly string[] {
  const warnings: string[] = [];
  if (slopeRatio < SLOPE_RATIO[0] || slopeRatio > SLOPE_RATIO[1]) {
    warnings.push(
      `the slope is ${slopeRatio.toFixed(2)} of the acid's concentration, not 0.75 to 1.1: look at the calibration of the pH meter and the concentration of the acid`,
    );
  }
  const first = used[0].volume;
  const last = used[used.length - 1].volume;
  if (last - first < first - equivalence.value) {
    warnings.push("the readings reach less far than the line is drawn back: titrate further");
  }
  if (equivalence.value <= 0) warnings.push("the water has no alkalinity: it is acid from the start");
  return warnings;
}

function describe(gran: GranAlkalinity): string {
  const used = gran.points.filter((point) => point.used).length;
  return [
    `alkalinity ${String(gran.alkalinity)} (${String(gran.alkalinityAsCaCO3)}) by Gran's plot`,
    `equivalence volume ${String(gran.equivalenceVolume)} from ${used} readings, scatter ${gran.residualPH.toPrecision(2)} in pH`,
    ...gran.warnings.map((warning) => `warning: ${warning}`),
  ].join("\n");
}
