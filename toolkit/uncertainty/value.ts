import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { combinedUncertainty, coverageFactor, effectiveDof } from "./coverage.js";
import { expandedForm } from "./expression.js";
import type { Source, SourceShape } from "./source.js";

/** A coverage interval, in the unit of its value. */
export interface CoverageInterval {
  readonly low: number;
  readonly high: number;
  /** Coverage factor: half the width over the standard uncertainty. */
  readonly k: number;
  readonly level: number;
}

/** One row of an uncertainty budget. */
export interface BudgetRow {
  readonly source: string;
  /** Standard uncertainty of the source, in the source's own unit. */
  readonly u: number;
  readonly dof: number;
  /** Change of the result per unit of the source, with its sign. */
  readonly sensitivity: number;
  /** |sensitivity|·u, in the unit of the result. */
  readonly contribution: number;
  /** Part of the result's u², 0 to 1. */
  readonly share: number;
  readonly shape: SourceShape["kind"];
}

/**
 * A value with its unit and its dependence on independent, named sources: the one type that results have from
 * the peak area to the report.
 *
 *     u = √Σcᵢ²        ν_eff = u⁴ / Σ(cᵢ⁴/νᵢ)
 *
 * cᵢ = sensitivity·u of source i, signed, in the unit of the value. Results that name the same source stay
 * correlated through any arithmetic.
 *
 * @source JCGM 100:2008 (GUM), 5.1 and 5.2, G.4
 */
export interface MeasuredValue {
  readonly kind: "measured-value";
  readonly value: number;
  readonly unit: string;
  /** Combined standard uncertainty, in `unit`. */
  readonly u: number;
  /** Effective degrees of freedom by Welch and Satterthwaite, not rounded; Infinity allowed. */
  readonly dof: number;
  /** What the value depends on; contribution i belongs to source i. */
  readonly sources: readonly Source[];
  /** Signed contributions sensitivity·u, in `unit`. */
  readonly contributions: Float64Array;
  /**
   * Coverage interval value ± k·u, k from the Student t distribution at the effective degrees of freedom.
   *
   * @param level coverage probability, default 0.95
   * @throws IonbookError "bad-level" unless 0 < level < 1
   * @source JCGM 100:2008 (GUM), 6.2 and G.6.4
   */
  interval(level?: number): CoverageInterval;
  /** What the uncertainty consists of, largest contribution first. */
  budget(): readonly BudgetRow[];
  /** For people, with the expanded uncertainty of 95 % coverage: "10.02 ± 0.06 mg/L (k = 2.0)". */
  toString(): string;
  toJSON(): {
    readonly kind: "measured-value";
    readonly value: number;
    readonly unit: string;
    readonly u: number;
    readonly dof: number | "Infinity";
  };
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** True for a `MeasuredValue`, also for one made by another copy of the toolkit. */
export function isMeasuredValue(value: unknown): value is MeasuredValue {
  return typeof value === "object" && value !== null && "kind" in value && value.kind === "measured-value";
}

/**
 * A value from sources whose keys all differ; takes hold of both lists, which must not be written afterwards.
 *
 * @throws IonbookError "bad-value" where the value or a contribution is not a finite number
 */
export function sourcedValue(
  value: number,
  unit: string,
  sources: readonly Source[],
  contributions: Float64Array,
): MeasuredValue {
  return new SourcedValue(value, unit, sources, contributions);
}

class SourcedValue implements MeasuredValue {
  readonly kind = "measured-value";
  readonly value: number;
  readonly unit: string;
  readonly u: number;
  readonly dof: number;
  readonly sources: readonly Source[];
  readonly contributions: Float64Array;

  constructor(value: number, unit: string, sources: readonly Source[], contributions: Float64Array) {
    const u = combinedUncertainty(contributions);
    if (!Number.isFinite(value)) {
      throw new IonbookError("bad-value", `The value is ${value}; a result needs a finite number`);
    }
    if (!Number.isFinite(u)) {
      throw new IonbookError("bad-value", `The uncertainty of ${value} ${unit} is ${u}; it must be finite`);
    }
    this.value = value;
    this.unit = unit;
    this.u = u;
    this.dof = effectiveDof(sources, contributions, u);
    this.sources = sources;
    this.contributions = contributions;
  }

  interval(level = 0.95): CoverageInterval {
    const k = coverageFactor(this.dof, level);
    return { low: this.value - k * this.u, high: this.value + k * this.u, k, level };
  }

  budget(): readonly BudgetRow[] {
    const rows = this.sources.map((source, i): BudgetRow => {
      const c = this.contributions[i];
      return {
        source: source.label,
        u: source.u,
        dof: source.dof,
        sensitivity: source.u === 0 ? 0 : c / source.u,
        contribution: Math.abs(c),
        share: this.u === 0 ? 0 : (c / this.u) ** 2,
        shape: source.shape.kind,
      };
    });
    return rows.sort((a, b) => b.contribution - a.contribution);
  }

  toString(): string {
    return expandedForm(this, coverageFactor(this.dof));
  }

  toJSON() {
    // JSON has no Infinity and would write null.
    const dof = Number.isFinite(this.dof) ? this.dof : "Infinity";
    return { kind: this.kind, value: this.value, unit: this.unit, u: this.u, dof } as const;
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}
