import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { isIonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { studentQuantile } from "../../numeric/distributions.js";
import { isStrongIon } from "../../water/unknowns/unknown-equivalents.js";
import { calibrate } from "../curve/calibrate.js";
import { requirePoints } from "../curve/check-points.js";
import { explained } from "../curve/curve.js";
import { checkCriteria, type FitCriteria, type FitTest, fitTests } from "../curve/fit-tests.js";
import { sortReadings } from "../curve/rejected-readings.js";
import { levelCount, levelsOf } from "../response/levels.js";
import type {
  Calibration,
  CalibrationModel,
  CalibrationWeighting,
  PhysicalCell,
  StandardReading,
} from "../response/types.js";
import { chooseWeighting, written } from "./choose-weighting.js";

export interface ChoiceOptions {
  /** Ion by any of its names: a weak one is offered the curve of weak acids and bases. */
  readonly ion?: string;
  /** @default "mg/L" */
  readonly unit?: string;
  /** How the curve's own sources are called in results. */
  readonly name?: string;
  /** The measured blank lies below half of the reporting limit: only then may a line go through zero. @default false */
  readonly blankIsClean?: boolean;
  /** Offers the physical model too. */
  readonly physical?: PhysicalCell;
  /** What the tests of fit ask for. */
  readonly criteria?: FitCriteria;
}

/** A model that was tried. */
export interface TriedModel {
  readonly model: CalibrationModel;
  readonly weighting: CalibrationWeighting;
  /** undefined where the model could not be fitted. */
  readonly calibration: Calibration | undefined;
  readonly tests: readonly FitTest[];
  /** What speaks against it; empty for a model that passes. */
  readonly against: readonly string[];
  readonly chosen: boolean;
}

/** The simplest calibration that passes, and why. */
export interface CalibrationChoice {
  readonly kind: "calibration-choice";
  readonly calibration: Calibration;
  /** Whether the chosen model passes all tests. */
  readonly accepted: boolean;
  readonly reason: string;
  readonly tried: readonly TriedModel[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const WORDS: Readonly<Record<CalibrationModel, string>> = {
  "through-zero": "a straight line through zero",
  linear: "a straight line",
  weak: "the curve of a weak acid or base",
  physical: "the curve of ionic equilibrium",
  quadratic: "a parabola",
};
const KNOWN_OPTIONS = {
  ion: true,
  unit: true,
  name: true,
  blankIsClean: true,
  physical: true,
  criteria: true,
} as const;

/**
 * The simplest response curve that passes the tests of fit, with its reason:
 *
 * 1. weights that fit the scatter of the replicates (`chooseWeighting`);
 * 2. models from the simplest up: a line through zero (only with a clean blank and an intercept that is none:
 *    |b₀| < t·s(b₀)), a line, the curve of weak acids and bases (for an ion that is not strong, or not named), ionic
 *    equilibrium (where the cell is described), a parabola (from four levels);
 * 3. the first that passes lack of fit, curvature, runs of residuals, back-calculated errors and relative standard error
 *    is taken. Where none passes, the one with the fewest failures, then the smallest relative standard error, and
 *    `accepted` is false.
 *
 * r² has no say.
 *
 * @throws IonbookError "unknown-option", "bad-option", those of `calibrate` where no model can be fitted
 * @source the toolkit's own rule, in the order of the common practice; each test names its own
 */
export function chooseCalibration(
  points: readonly StandardReading[],
  options: ChoiceOptions = {},
): CalibrationChoice {
  requirePoints(points, options, "chooseCalibration");
  requireKnownOptions(options, KNOWN_OPTIONS, "chooseCalibration");
  checkCriteria(options.criteria ?? {});
  const { used } = sortReadings(points);
  // What no line can be fitted to is refused with the line's own words.
  const line = calibrate(points, offered(options, "linear", "none"));
  const weights = chooseWeighting(used);
  const tried = modelsFor(used, options).map((model) => tryModel(points, model, weights.weighting, options));
  const fitted = tried.filter((each) => each.calibration !== undefined);
  const passing = fitted.find(({ against }) => against.length === 0);
  const best = passing ?? fitted.reduce(better, fitted[0]);
  if (best?.calibration === undefined)
    return choiceOf(line, false, "No model could be fitted but a plain line.", tried);
  const reason = `${reasonFor(best, tried, passing !== undefined)} ${weights.reason}`;
  const calibration = explained(best.calibration, reason);
  const marked = tried.map((each) => (each === best ? { ...each, calibration, chosen: true } : each));
  return choiceOf(calibration, passing !== undefined, reason, marked);
}

function modelsFor(used: readonly StandardReading[], options: ChoiceOptions): readonly CalibrationModel[] {
  const levels = levelCount(used, false);
  const mayBeWeak = options.ion === undefined || !isStrongIon(ion(options.ion).name);
  return [
    ...(options.blankIsClean === true ? (["through-zero"] as const) : []),
    "linear",
    ...(mayBeWeak ? (["weak"] as const) : []),
    ...(options.physical === undefined ? [] : (["physical"] as const)),
    ...(levels >= 4 ? (["quadratic"] as const) : []),
  ];
}

function offered(options: ChoiceOptions, model: CalibrationModel, weighting: CalibrationWeighting) {
  const { ion: of, unit, name, physical } = options;
  return {
    model,
    weighting,
    ...(of === undefined ? {} : { ion: of }),
    ...(unit === undefined ? {} : { unit }),
    ...(name === undefined ? {} : { name }),
    ...(model === "physical" && physical !== undefined ? { physical } : {}),
  };
}

function tryModel(
  points: readonly StandardReading[],
  model: CalibrationModel,
  wanted: CalibrationWeighting,
  options: ChoiceOptions,
): TriedModel {
  // Equal scatter of the responses is unequal scatter of the concentrations of a bent curve.
  const weighting =
    model === "weak" && wanted === "none" && hasReplicates(points) ? "variance-function" : wanted;
  try {
    const calibration = calibrate(points, offered(options, model, weighting));
    const tests = fitTests(calibration, options.criteria ?? {});
    const against = [
      ...tests.filter(({ passed, test }) => !passed && !test.startsWith("equal variances")).map(failure),
      ...(model === "through-zero" ? intercept(points, weighting, options) : []),
      ...(model === "weak" && calibration.coefficients.includes(0)
        ? ["one of its coefficients is held at zero"]
        : []),
    ];
    return { model, weighting, calibration, tests, against, chosen: false };
  } catch (error) {
    if (!isIonbookError(error)) throw error;
    return { model, weighting, calibration: undefined, tests: [], against: [error.message], chosen: false };
  }
}

function hasReplicates(points: readonly StandardReading[]): boolean {
  return levelsOf(sortReadings(points).used).filter(({ members }) => members.length > 1).length >= 3;
}

function intercept(
  points: readonly StandardReading[],
  weighting: CalibrationWeighting,
  options: ChoiceOptions,
): readonly string[] {
  const { coefficients, standardErrors, dof } = calibrate(points, offered(options, "linear", weighting));
  const t = Math.abs(coefficients[0]) / standardErrors[0];
  const critical = studentQuantile(0.975, dof);
  return t < critical
    ? []
    : [`the intercept is not zero (t ${t.toPrecision(3)} against ${critical.toPrecision(3)})`];
}

function failure({ test, statistic, critical, p }: FitTest): string {
  const figures =
    p !== undefined && p < 0.05
      ? `p ${p < 0.001 ? "< 0.001" : p.toPrecision(2)}`
      : Number.isFinite(statistic)
        ? `${statistic.toPrecision(3)} against ${critical?.toPrecision(3) ?? "none"}`
        : "some readings have no inverse";
  return `${test} (${figures})`;
}

function better(best: TriedModel, each: TriedModel): TriedModel {
  if (each.against.length !== best.against.length)
    return each.against.length < best.against.length ? each : best;
  const error = ({ calibration }: TriedModel) =>
    calibration?.relativeStandardErrorPercent ?? Number.POSITIVE_INFINITY;
  return error(each) < error(best) ? each : best;
}

function reasonFor(best: TriedModel, tried: readonly TriedModel[], passes: boolean): string {
  const words = WORDS[best.model];
  const first = `${words[0].toUpperCase()}${words.slice(1)}`;
  const others = tried.slice(0, passes ? tried.indexOf(best) : tried.length).filter((each) => each !== best);
  const why = others.map(({ model, against }) => `${WORDS[model]} fails ${against.join(", ")}`).join("; ");
  if (!passes) {
    return `No model passes; ${words} has the fewest failures: ${best.against.join(", ")}${why === "" ? "" : `; ${why}`}.`;
  }
  return why === ""
    ? `${first} is the simplest model and passes all tests of fit.`
    : `${first} is the simplest model that passes all tests of fit; ${why}.`;
}

function choiceOf(
  calibration: Calibration,
  accepted: boolean,
  reason: string,
  tried: readonly TriedModel[],
): CalibrationChoice {
  const choice: CalibrationChoice = {
    kind: "calibration-choice",
    calibration,
    accepted,
    reason,
    tried,
    toString: () =>
      [
        String(calibration),
        ...tried.map(
          ({ model, weighting, against, chosen }) =>
            `${chosen ? "→" : " "} ${model}, weights ${written(weighting)}: ${against.length === 0 ? "passes" : `fails ${against.join(", ")}`}`,
        ),
      ].join("\n"),
    [DISPLAY]: () => displayOf(choice),
  };
  return choice;
}
