import { IonbookError } from "../errors.js";
import { nearestNames } from "../ions/nearest-names.js";
import type { BlankWatch } from "./blank-watch-types.js";
import { chooseLimits } from "./choose-limits.js";
import { type LadderContext, positive, readLadder } from "./ladder-data.js";
import type {
  ChosenLimits,
  LadderData,
  LadderOptions,
  LimitDefinition,
  LimitLadder,
  LimitRung,
} from "./ladder-types.js";
import { limitText } from "./reported-result.js";
import { rungOf, spreadLimit } from "./rung-draft.js";
import { rungsFromBlanks, rungsFromBlanksAndSpikes } from "./rungs-from-blanks.js";
import { rungsFromCalibration } from "./rungs-from-calibration.js";
import { rungsFromCounts, rungsFromNoise } from "./rungs-from-noise.js";
import { rungsFromSpikes } from "./rungs-from-spikes.js";
import { shown } from "./shown.js";
import { watchOfLadder } from "./watch-of-ladder.js";

/** All names, in the order of the ladder. */
export const LIMIT_DEFINITIONS: readonly LimitDefinition[] = [
  "signal-to-noise",
  "signal-to-noise-everyday",
  "blank-3s",
  "blank-3s-net",
  "currie",
  "currie-exact",
  "currie-paired",
  "currie-paired-exact",
  "currie-quantification",
  "method-detection-limit",
  "minimum-level-3.18",
  "minimum-level-3",
  "eurachem",
  "ich-residual",
  "ich-intercept",
  "iso-11843-2",
  "hubaux-vos",
  "din-32645",
  "clinical",
  "functional-sensitivity",
  "reporting-level-confirmation",
  "counting",
  "given",
];

/**
 * Every published definition of a detection or quantification limit on the data at hand, side by side, in `unit` (mg/L):
 * what can be computed with its numbers and the 95 % interval that the standard deviation behind them leaves, what
 * cannot with what it lacks, and the one in force marked. "The detection limit" of one ion on one day easily spans
 * sevenfold among them: a limit is never given without its definition.
 *
 * Symbols in the formulas: x̄₀, s₀ mean and standard deviation of n₀ blanks; m readings averaged for a sample; H peak
 * height, h noise from lowest to highest; b, s_y slope and residual standard deviation of an unweighted line through n
 * standards, x̄ their mean, S_xx = Σ(x − x̄)²; t, δ quantiles of Student's t and its noncentrality.
 *
 * Valid for replicates of the whole procedure, read over a fixed window whether or not a peak was found; the intervals
 * are those of one standard deviation alone. Names are the contract's: the critical value declares presence, the
 * detection limit is the content found with probability 1 − β, whatever a standard calls them; where a standard makes no
 * difference between them, its number stands as detection limit. "Not detected" is not "absent" and not "safe".
 *
 * Blanks and low standards measured since (`newBlanks`, `newSpikes`) change no limit: they are held against the one in
 * force (`watchBlanks`), and what contradicts it stands under `watch` and at the head of the text.
 *
 * @throws IonbookError "unknown-option", "bad-option", "unknown-limit" (with the nearest names), "limit-not-computable",
 *   "bad-level", "bad-replicates", "not-a-number", "negative-concentration", "bad-noise", "bad-count", "bad-points"
 * @source each rung names its own
 */
export function limitLadder(data: LadderData, options: LadderOptions = {}): LimitLadder {
  const context = readLadder(data, options);
  const { inForce } = options;
  if (inForce !== undefined) requireKnownLimit(inForce, LIMIT_DEFINITIONS);
  const computed = inOrder([
    ...rungsFromNoise(context),
    ...rungsFromBlanks(context),
    ...rungsFromSpikes(context),
    ...rungsFromCalibration(context),
    ...rungsFromBlanksAndSpikes(context),
    ...rungsFromCounts(context),
    ...givenRung(context),
  ]);
  const chosen = chooseLimits(context, computed, inForce);
  const watch = watchOfLadder(context, computed, chosen, options.alarm);
  const rungs = computed.map((rung) => (rung.id === chosen?.definition ? { ...rung, inForce: true } : rung));
  const ladder = {
    kind: "limit-ladder",
    ion: data.ion,
    unit: context.unit,
    rungs,
    inForce: chosen,
    alpha: context.alpha,
    beta: context.beta,
    spread: context.spread,
    blanks: context.blanks,
    watch,
    span: spanOf(rungs, context.unit),
    rung(id: string): LimitRung {
      requireKnownLimit(
        id,
        rungs.map((rung) => rung.id),
      );
      return rungs.find((rung) => rung.id === id) as LimitRung;
    },
  } as const;
  return shown(ladder, () => textOf(rungs, chosen, data.ion, watch));
}

/**
 * @throws IonbookError "unknown-limit" with the nearest names
 */
export function requireKnownLimit(id: unknown, known: readonly LimitDefinition[]): void {
  if (known.includes(id as LimitDefinition)) return;
  const near = nearestNames(String(id), known);
  const hint = near.length === 0 ? "" : `; did you mean ${near.map((name) => `"${name}"`).join(" or ")}?`;
  throw new IonbookError(
    "unknown-limit",
    `There is no limit "${String(id)}"${hint} Known are ${known.join(", ")}`,
  );
}

const PLACES: ReadonlyMap<LimitDefinition, number> = new Map(LIMIT_DEFINITIONS.map((id, i) => [id, i]));

function inOrder(rungs: readonly LimitRung[]): readonly LimitRung[] {
  const place = ({ id }: LimitRung) => PLACES.get(id) ?? 0;
  return [...rungs].sort((a, b) => place(a) - place(b));
}

function givenRung({ data, unit }: LadderContext): readonly LimitRung[] {
  const { given } = data;
  if (given === undefined) return [];
  const { criticalValue, detectionLimit, quantificationLimit, source } = given;
  if (typeof source !== "string" || source === "") {
    throw new IonbookError(
      "bad-option",
      'given limits name where they come from: given: { detectionLimit: 0.05, source: "permit 2026, annex 2" }',
    );
  }
  positive(criticalValue, "given.criticalValue");
  if (detectionLimit === undefined) positive(Number.NaN, "given.detectionLimit");
  positive(detectionLimit, "given.detectionLimit");
  positive(quantificationLimit, "given.quantificationLimit");
  return [
    rungOf(
      {
        id: "given",
        name: "stated",
        standard: source,
        formula: "",
        from: "statement",
        needs: "a statement with its source",
      },
      unit,
      {
        limits: [
          ...(criticalValue === undefined
            ? []
            : [spreadLimit("critical value", unit, criticalValue, undefined)]),
          spreadLimit("detection limit", unit, detectionLimit, undefined),
          ...(quantificationLimit === undefined
            ? []
            : [spreadLimit("quantification limit", unit, quantificationLimit, undefined)]),
        ],
      },
    ),
  ];
}

function spanOf(rungs: readonly LimitRung[], unit: string): number | undefined {
  let count = 0;
  let lowest = Number.POSITIVE_INFINITY;
  let highest = 0;
  for (const { unit: own, detectionLimit } of rungs) {
    if (own !== unit || detectionLimit === undefined) continue;
    count++;
    lowest = Math.min(lowest, detectionLimit);
    highest = Math.max(highest, detectionLimit);
  }
  return count < 2 ? undefined : highest / lowest;
}

/** One line a rung, numbers rounded up to two figures. */
function textOf(
  rungs: readonly LimitRung[],
  chosen: ChosenLimits | undefined,
  ion: string | undefined,
  watch: BlankWatch | undefined,
): string {
  const head = `limits${ion === undefined ? "" : ` of ${ion}`}: ${
    chosen === undefined
      ? "none can be computed"
      : `in force ${chosen.name}: critical value ${limitText(chosen.criticalValue)}, detection limit ${limitText(chosen.detectionLimit)}, quantification limit ${limitText(chosen.quantificationLimit)} ${chosen.unit} (${chosen.why})`
  }`;
  const lines = rungs.map((rung) => {
    const numbers = rung.limits.map(({ role, value }) => `${role} ${limitText(value)}`).join(", ");
    const reasons =
      rung.reasons.length === 0
        ? ""
        : ` (${rung.requirement === "doubtful" ? "doubtful: " : ""}${rung.reasons.join("; ")})`;
    const found = numbers === "" ? "not computed" : `${numbers} ${rung.unit}`;
    return `${rung.inForce ? "▸" : " "} ${rung.name}: ${found}${reasons}`;
  });
  const warned = (watch?.warnings ?? []).map(({ name, text }) => `! ${name}: ${text}`);
  return [head, ...warned, ...lines].join("\n");
}
