import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { noteSeed } from "../evidence.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { type Ends, empiricalIntervals } from "./empirical-interval.js";
import { roundedBy } from "./expression.js";
import { checkedModel, estimatesOf, type Model, type ModelInputs, namedInputs } from "./propagate.js";
import { withScratch } from "./scratch.js";
import type { Source } from "./source.js";
import { DeviationSums, drawingPlan, runTrials } from "./trials.js";

export interface MonteCarloOptions {
  /** Number of trials, 1000 to 10⁸. @default 1_000_000 */
  readonly trials?: number;
  /** Whole number; the same seed gives the same result. @default 1 */
  readonly seed?: number;
  /** Coverage probability of the intervals. @default 0.95 */
  readonly level?: number;
  /** Unit of the result, for its text. @default "1" */
  readonly unit?: string;
}

/** What the trials gave, in the unit of the model's result. */
export interface MonteCarloResult {
  readonly kind: "monte-carlo";
  readonly mean: number;
  /** Standard deviation of the trials. */
  readonly u: number;
  /** Coverage interval with equal probability on both sides. */
  readonly interval: Ends;
  /** The shortest coverage interval. */
  readonly shortest: Ends;
  readonly level: number;
  readonly trials: number;
  readonly seed: number;
  readonly unit: string;
  /** What limits the trust in these figures, in words. */
  readonly cautions: readonly string[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/**
 * Propagation of distributions: the model is computed for `trials` joint draws of its sources, each source drawn
 * once a trial, so that inputs with a common source stay correlated.
 *
 *     xⱼ = x̂ⱼ + Σ cⱼᵢ·zᵢ        y = f(x)
 *
 * zᵢ is drawn from the distribution of source i scaled to u = 1: normal; t with ν degrees of freedom where the source
 * has finite dof (sources of one group share their χ², the multivariate t); rectangular, triangular, trapezoidal,
 * arcsine and curvilinear trapezoid as stated. Sources with limits keep their shape whatever their dof. The mean
 * and the standard deviation are of the trials (divisor M − 1); intervals see `empiricalIntervals`.
 *
 * The model gets the same object in every trial, with new numbers in it: it must neither keep nor change it.
 *
 * Cost about 0.1 µs a trial and nine inputs, plus the model.
 *
 * @throws IonbookError "model-not-finite" where any trial gives no finite number; "bad-trials", "bad-seed",
 *   "bad-level", "unknown-option"; "bad-value" and "bad-input" as for `propagate`
 * @source JCGM 101:2008, clauses 6 and 7
 */
export function monteCarlo<Name extends string>(
  model: Model<Name>,
  inputs: ModelInputs<Name>,
  options: MonteCarloOptions = {},
): MonteCarloResult {
  const settings = resolved(options);
  const estimates = estimatesOf(inputs);
  const named = namedInputs(inputs);
  const centre = checkedModel(model)(estimates, () => "at the estimates");
  const plan = drawingPlan(named);
  noteSeed(settings.seed, `Monte Carlo, ${settings.trials} trials`);
  return withScratch(settings.trials, (values) => {
    const sums = new DeviationSums(centre);
    runTrials(values, model as Model, estimates, plan, settings.seed, sums);
    const { symmetric, shortest } = empiricalIntervals(values, settings.level);
    const [mean, u, cautions] = [sums.mean(), sums.standardDeviation(), cautionsOf(plan.sources)];
    return new TrialSummary({ mean, u, interval: symmetric, shortest, ...settings, cautions });
  });
}

type Settings = Required<MonteCarloOptions>;

function resolved(options: MonteCarloOptions): Settings {
  requireKnownOptions(options, { trials: true, seed: true, level: true, unit: true }, "monteCarlo");
  const { trials = 1_000_000, seed = 1, level = 0.95, unit = "1" } = options;
  if (!(Number.isInteger(trials) && trials >= 1000 && trials <= 1e8)) {
    throw new IonbookError("bad-trials", `trials is ${trials}; give a whole number from 1000 to 100 000 000`);
  }
  if (!Number.isSafeInteger(seed)) {
    throw new IonbookError("bad-seed", `The seed is ${seed}; give a whole number`);
  }
  if (!(level > 0 && level < 1)) {
    throw new IonbookError(
      "bad-level",
      `A level of confidence lies between 0 and 1, not at ${level}; write 0.95 for 95 %`,
    );
  }
  return { trials, seed, level, unit };
}

function cautionsOf(sources: readonly Source[]): readonly string[] {
  const wild = sources.filter(({ shape, dof }) => shape.kind === "normal" && dof <= 2);
  if (wild.length === 0) return [];
  const names = wild.map(({ label }) => `"${label}"`).join(", ");
  return [
    `${names}: a t distribution with 2 or fewer degrees of freedom has no finite variance; u depends on the seed, the intervals do not. Pool more readings.`,
  ];
}

class TrialSummary implements MonteCarloResult {
  readonly kind = "monte-carlo";
  readonly mean: number;
  readonly u: number;
  readonly interval: Ends;
  readonly shortest: Ends;
  readonly level: number;
  readonly trials: number;
  readonly seed: number;
  readonly unit: string;
  readonly cautions: readonly string[];

  constructor(
    figures: Settings & Pick<MonteCarloResult, "mean" | "u" | "interval" | "shortest" | "cautions">,
  ) {
    this.mean = figures.mean;
    this.u = figures.u;
    this.interval = figures.interval;
    this.shortest = figures.shortest;
    this.level = figures.level;
    this.trials = figures.trials;
    this.seed = figures.seed;
    this.unit = figures.unit;
    this.cautions = figures.cautions;
  }

  toString(): string {
    const unit = this.unit === "1" ? "" : ` ${this.unit}`;
    const [mean, low, high] = [this.mean, this.interval.low, this.interval.high].map((x) =>
      roundedBy(this.u, x),
    );
    const lines = [
      `${mean}${unit}, ${100 * this.level} % between ${low} and ${high}${unit} (u = ${this.u.toPrecision(2)}; ${this.trials} trials, seed ${this.seed})`,
      ...this.cautions,
    ];
    return lines.join("\n");
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}
