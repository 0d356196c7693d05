import { IonbookError } from "../errors.js";
import { FEWEST_BLANKS, type LadderContext } from "./ladder-data.js";
import type { ChosenLimits, LimitDefinition, LimitRung } from "./ladder-types.js";

/** Tried in this order where nobody chose: blanks show the procedure, a calibration the instrument alone. */
const PREFERRED: readonly LimitDefinition[] = [
  "given",
  "currie",
  "iso-11843-2",
  "method-detection-limit",
  "signal-to-noise",
];

/**
 * The limits that results are judged by: those of the definition chosen, or of the first of Currie (from four blanks
 * on), ISO 11843-2, method detection limit and signal to noise that can be computed. A definition with one number alone
 * decides by that number; what it has no quantification limit for is quantified from 10·s₀. Nothing is quantified below
 * the lowest standard.
 *
 * @throws IonbookError "limit-not-computable" for a chosen definition whose requirement is not met, or that holds no
 *   detection limit
 */
export function chooseLimits(
  context: LadderContext,
  rungs: readonly LimitRung[],
  chosen: LimitDefinition | undefined,
): ChosenLimits | undefined {
  const decides = (rung: LimitRung | undefined) => rung?.detectionLimit ?? rung?.criticalValue;
  const byName = (id: LimitDefinition) => rungs.find((rung) => rung.id === id);
  const id = chosen ?? PREFERRED.find((name) => decides(byName(name)) !== undefined);
  if (id === undefined) return undefined;
  const rung = byName(id);
  const detection = decides(rung);
  if (rung === undefined || detection === undefined) throw notComputable(id, rung);
  const { value, from } = quantification(context, rungs, rung);
  return {
    definition: id,
    name: rung.name,
    criticalValue: rung.criticalValue ?? detection,
    detectionLimit: detection,
    quantificationLimit: Math.max(value, detection),
    unit: rung.unit,
    why: [
      chosen === undefined ? defaultReason(id) : "chosen by the analyst",
      ...(rung.criticalValue === undefined ? ["its one limit decides presence too"] : []),
      `quantified from ${from}`,
    ].join("; "),
  };
}

function notComputable(id: LimitDefinition, rung: LimitRung | undefined): IonbookError {
  if (rung === undefined)
    return new IonbookError(
      "limit-not-computable",
      `"${id}" has nothing to be computed from: give its data to limitLadder`,
    );
  const why = rung.reasons.length > 0 ? rung.reasons.join("; ") : "it holds no detection limit";
  return new IonbookError(
    "limit-not-computable",
    `"${id}" cannot be in force: ${why}. It needs ${rung.needs}; choose another definition or add the data`,
  );
}

function defaultReason(id: LimitDefinition): string {
  if (id === "given") return "stated from outside";
  if (id === "currie")
    return `the default with ${FEWEST_BLANKS} blanks or more: they show the whole procedure`;
  const better = id === "iso-11843-2" ? "no blanks to speak of" : "neither blanks nor standards to speak of";
  return `the first that can be computed: ${better}`;
}

function quantification(
  context: LadderContext,
  rungs: readonly LimitRung[],
  rung: LimitRung,
): { readonly value: number; readonly from: string } {
  const tenS = rungs.find(({ id }) => id === "currie-quantification")?.quantificationLimit;
  const own = rung.quantificationLimit;
  const multiple = rung.id === "method-detection-limit" ? byId(rungs, "minimum-level-3.18") : undefined;
  const readings: readonly (readonly [number | undefined, string])[] = [
    [own, "the definition's own limit"],
    [multiple, "the minimum level, 3.18 × MDL"],
    [own ?? multiple ?? tenS, "ten standard deviations of the blanks"],
    [context.lowestLevel, "the lowest standard"],
  ];
  return readings.reduce<{ readonly value: number; readonly from: string }>(
    (most, [value, from]) => (value !== undefined && value > most.value ? { value, from } : most),
    { value: 0, from: "the detection limit, as nothing else is known" },
  );
}

function byId(rungs: readonly LimitRung[], id: LimitDefinition): number | undefined {
  return rungs.find((rung) => rung.id === id)?.value;
}
