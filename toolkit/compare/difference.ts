import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { studentCdf, studentQuantile } from "../numeric/distributions.js";
import {
  type CoverageInterval,
  correlation,
  type MeasuredValue,
  minus,
  roundedBy,
  wholeDof,
} from "../uncertainty/measured.js";

export interface DifferenceOptions {
  /** Level of confidence of interval and verdict. @default 0.95 */
  readonly level?: number;
  /** Probability with which the smallest difference shall be found. @default 0.8 */
  readonly power?: number;
}

/** Two results compared. */
export interface Difference {
  readonly kind: "difference";
  /** a − b, in their unit. */
  readonly difference: MeasuredValue;
  /** (a − b)/u(a − b) */
  readonly z: number;
  /** Two-sided probability of a |z| at least as large if both were the same. */
  readonly p: number;
  /** Coverage interval of the difference, in the unit of the results. */
  readonly interval: CoverageInterval;
  /** True where p < 1 − level. */
  readonly significant: boolean;
  /** Smallest difference that this pair would find with the given power, in the unit of the results. */
  readonly smallestDifference: number;
  /** Correlation of the two results through their common sources. */
  readonly correlation: number;
  readonly level: number;
  readonly power: number;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/**
 * Whether two results differ, what they share counted once:
 *
 *     Δ = a − b        u(Δ)² = Σ (aᵢ − bᵢ)²        z = Δ/u(Δ)        δ = (t(1+level)/2 + t_power)·u(Δ)
 *
 * aᵢ, bᵢ contributions of source i, so a common relative error of scale acts on the difference alone; δ the smallest
 * difference this pair could show. p from the t distribution at the effective degrees of freedom of u(Δ) (normal
 * where they are infinite). "No significant difference" is not "the same": look at δ.
 *
 * @throws IonbookError "unit-mismatch" where the units differ; "bad-level" unless 0 < level < 1; "bad-power" unless
 *   0.5 ≤ power < 1
 * @source JCGM 100:2008 (GUM), 5.2.2 (correlated difference) and G.3 (t); smallest difference: common practice, no
 *   source
 */
export function compareResults(
  a: MeasuredValue,
  b: MeasuredValue,
  options: DifferenceOptions = {},
): Difference {
  const { level = 0.95, power = 0.8 } = options;
  if (!(power >= 0.5 && power < 1)) {
    throw new IonbookError("bad-power", `The power is ${power}; it must be at least 0.5 and below 1`);
  }
  const difference = minus(a, b);
  const interval = difference.interval(level);
  const { value, u } = difference;
  const dof = wholeDof(difference.dof);
  const z = value === 0 ? 0 : value / u;
  const p = Number.isFinite(z) ? 2 * studentCdf(-Math.abs(z), dof) : 0;
  return new ResultDifference({
    difference,
    z,
    p,
    interval,
    significant: p < 1 - level,
    smallestDifference: (interval.k + studentQuantile(power, dof)) * u,
    correlation: correlation(a, b),
    level,
    power,
  });
}

type Figures = Omit<Difference, "kind" | "toString" | typeof DISPLAY>;

class ResultDifference implements Difference {
  readonly kind = "difference";
  readonly difference: MeasuredValue;
  readonly z: number;
  readonly p: number;
  readonly interval: CoverageInterval;
  readonly significant: boolean;
  readonly smallestDifference: number;
  readonly correlation: number;
  readonly level: number;
  readonly power: number;

  constructor(figures: Figures) {
    this.difference = figures.difference;
    this.z = figures.z;
    this.p = figures.p;
    this.interval = figures.interval;
    this.significant = figures.significant;
    this.smallestDifference = figures.smallestDifference;
    this.correlation = figures.correlation;
    this.level = figures.level;
    this.power = figures.power;
  }

  toString(): string {
    const { u, unit } = this.difference;
    const verdict = this.significant ? "different" : "no significant difference";
    const smallest = `${roundedBy(u, this.smallestDifference)}${unit === "1" ? "" : ` ${unit}`}`;
    return `${this.difference}, z = ${this.z.toFixed(1)}, p = ${this.p.toPrecision(2)}: ${verdict}; this pair could show differences from ${smallest} on`;
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}
