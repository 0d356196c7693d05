import { IonbookError } from "../errors.js";
import { studentCdf } from "../numeric/distributions.js";
import { type CoverageInterval, type MeasuredValue, wholeDof } from "../uncertainty/measured.js";

/** Whether an effect was shown to be smaller than a margin that was set beforehand. */
export interface EquivalenceTest {
  /** In the unit of the effect. */
  readonly margin: number;
  /** (effect + margin)/u and (margin − effect)/u: both must be large. */
  readonly t: readonly [number, number];
  /** The larger of the two one-sided probabilities. */
  readonly p: number;
  /** Interval of the level 1 − 2α: inside ± margin exactly where `equivalent`. */
  readonly interval: CoverageInterval;
  readonly equivalent: boolean;
}

/**
 * Two one-sided tests of |effect| < margin:
 *
 *     t₁ = (Δ + δ)/u        t₂ = (δ − Δ)/u        p = max(P(T > t₁), P(T > t₂))
 *
 * Δ effect and u its standard uncertainty, δ margin, in the unit of the effect; T Student's t at the effective degrees
 * of freedom, cut to a whole number. Shown where p < α = 1 − level. The margin is to be set before the result is known.
 *
 * @throws IonbookError "bad-margin" unless the margin is above 0; "bad-level" unless 0.5 < level < 1
 * @source D. J. Schuirmann, J. Pharmacokinet. Biopharm. 15 (1987) 657 (from memory)
 */
export function testEquivalence(effect: MeasuredValue, margin: number, level = 0.95): EquivalenceTest {
  if (!(margin > 0 && Number.isFinite(margin))) {
    throw new IonbookError(
      "bad-margin",
      `The margin is ${margin} ${effect.unit}; give the largest change that would not matter, above 0`,
    );
  }
  if (!(level > 0.5 && level < 1)) {
    throw new IonbookError("bad-level", `The level is ${level}; an equivalence test needs 0.5 < level < 1`);
  }
  const { value, u } = effect;
  const dof = wholeDof(effect.dof);
  const ts = [(value + margin) / u, (margin - value) / u] as const;
  const p = Math.max(...ts.map((t) => studentCdf(-t, dof)));
  const alpha = 1 - level;
  return { margin, t: ts, p, interval: effect.interval(1 - 2 * alpha), equivalent: p < alpha };
}
