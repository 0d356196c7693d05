import { isIonbookError } from "../errors.js";
import { FEWEST_SPIKES, type LadderContext, type SpikeSet } from "./ladder-data.js";
import type { LadderLimit, LimitRung } from "./ladder-types.js";
import { type MethodDetectionLimit, methodDetectionLimit } from "./method-detection-limit.js";
import { minimumReportingLevel } from "./minimum-reporting-level.js";
import { type Definition, type Found, rungOf, spreadLimit, tooFew } from "./rung-draft.js";

const RULE = "40 CFR 136 App. B, rev. 2 (2017)";
const MDL: Definition = {
  id: "method-detection-limit",
  name: "method detection limit",
  standard: RULE,
  formula: "max(t(0.99, n − 1)·s_spike, max(0, x̄_b) + t(0.99, n_b − 1)·s_b)",
  from: "blanks and spikes",
  needs:
    "seven spikes and seven blanks from three batches on three dates, spiked at 2 to 10 times the estimate",
  remark: "a decision threshold with α = 1 %; a content at it is missed about every second time",
};

/** The US water rules: method detection limit, minimum levels, confirmation of a reporting level. */
export function rungsFromSpikes(context: LadderContext): readonly LimitRung[] {
  const { unit } = context;
  const found = mdlOf(context);
  const mdl = rungOf(MDL, unit, found);
  const multiple = (id: Definition["id"], factor: number, standard: string): LimitRung => {
    const definition: Definition = {
      id,
      name: `minimum level, ${factor} × MDL`,
      standard,
      formula: `${factor}·MDL`,
      from: "blanks and spikes",
      needs: MDL.needs,
    };
    if (typeof found === "string") return rungOf(definition, unit, found);
    const times = (value: number) => factor * value;
    const [limit] = found.limits;
    const scaled: LadderLimit = {
      ...limit,
      role: "quantification limit",
      value: times(limit.value),
      interval: limit.interval && {
        ...limit.interval,
        low: times(limit.interval.low),
        high: times(limit.interval.high),
      },
    };
    const { doubts = [], dof } = found;
    return rungOf(definition, unit, { limits: [scaled], doubts, ...(dof === undefined ? {} : { dof }) });
  };
  return [
    mdl,
    multiple("minimum-level-3.18", 3.18, "US EPA minimum level (from memory)"),
    multiple("minimum-level-3", 3, "common practice, no source"),
    confirmationRung(context),
  ];
}

function mdlOf({ data, spikes, unit, blanks }: LadderContext): Found | string {
  const short = tooFew(spikes?.values.length ?? 0, FEWEST_SPIKES, "spikes of one level");
  if (short !== undefined || spikes === undefined) return short ?? "";
  const given = data.blanks ?? [];
  const usable = data.leftClipped ? [] : given;
  // The rule's formula for blanks needs seven numbers; where some gave none, their highest counts.
  const allNumeric = usable.length === blanks.length;
  const counted = allNumeric && usable.length < FEWEST_SPIKES ? [] : usable;
  const limit = methodDetectionLimit({ fortified: spikes.values, blanks: counted });
  return {
    limits: [mdlLimit(limit, spikes, blanks, unit, allNumeric)],
    doubts: [...mdlDoubts(spikes, limit.mdl), ...blankDoubts(given, counted, data.leftClipped ?? false)],
    dof: limit.dof,
    remark: `from spikes ${limit.mdlFromFortified.toPrecision(3)}, from blanks ${
      limit.mdlFromBlanks?.toPrecision(3) ?? "none"
    }; ${MDL.remark}`,
  };
}

/** The χ² interval belongs to the standard deviation of whichever of the two limits is larger. */
function mdlLimit(
  limit: MethodDetectionLimit,
  spikes: SpikeSet,
  blanks: readonly number[],
  unit: string,
  allNumeric: boolean,
): LadderLimit {
  if (limit.mdl === limit.mdlFromFortified)
    return spreadLimit("detection limit", unit, limit.mdl, spikes.values.length - 1);
  if (!allNumeric) return spreadLimit("detection limit", unit, limit.mdl, undefined);
  const offset = Math.max(0, blanks.reduce((sum, blank) => sum + blank, 0) / blanks.length);
  return spreadLimit("detection limit", unit, limit.mdl - offset, blanks.length - 1, offset);
}

function mdlDoubts({ level, mean, dates, batches }: SpikeSet, mdl: number): string[] {
  const doubts: string[] = [];
  const ratio = level / mdl;
  if (!(ratio >= 1 && ratio <= 10))
    doubts.push(`spiked at ${ratio.toPrecision(2)} times the limit found: repeat with 2 to 10 times`);
  const recovery = (100 * mean) / level;
  if (!(recovery >= 50 && recovery <= 150))
    doubts.push(
      `the spikes were recovered to ${recovery.toFixed(0)} % (50 to 150 %: common practice, no source)`,
    );
  if (dates === undefined) doubts.push("the dates of the spikes are not stated; the rule asks for three");
  else if (dates < 3)
    doubts.push(`the spikes are of ${dates} ${dates === 1 ? "date" : "dates"}; the rule asks for three`);
  if (batches !== undefined && batches < 3)
    doubts.push(
      `the spikes are of ${batches} ${batches === 1 ? "batch" : "batches"}; the rule asks for three`,
    );
  return doubts;
}

function blankDoubts(given: readonly unknown[], counted: readonly unknown[], clipped: boolean): string[] {
  if (clipped) return ["the blanks are clipped at zero and say nothing: the spikes stand alone"];
  if (given.length === 0) return ["there are no blanks: the spikes stand alone"];
  return counted.length === 0 ? [`${given.length} blanks are fewer than seven: the spikes stand alone`] : [];
}

function confirmationRung({ data, spikes, unit }: LadderContext): LimitRung {
  const definition: Definition = {
    id: "reporting-level-confirmation",
    name: "confirmation of a reporting level",
    standard: "US EPA 815-R-05-006 (2004)",
    formula: "50 % ≤ 100·(x̄ ∓ HR)/level ≤ 150 %, HR = t(0.995, n − 1)·s·√(1 + 1/n)",
    from: "spikes",
    needs: "seven spikes at the reporting level",
  };
  const asked = data.confirmation ?? (spikes && { level: spikes.level, found: spikes.values });
  const short = tooFew(asked?.found.length ?? 0, FEWEST_SPIKES, "spikes at the reporting level");
  if (short !== undefined || asked === undefined) return rungOf(definition, unit, short ?? "");
  try {
    const found = minimumReportingLevel({ fortified: asked.level, found: asked.found });
    const range = `${found.lowerPercent.toFixed(0)} to ${found.upperPercent.toFixed(0)} % of ${asked.level} ${unit}`;
    if (!found.confirmed)
      return rungOf(definition, unit, `not confirmed: one more result would lie within ${range}`);
    return rungOf(definition, unit, {
      limits: [{ role: "reporting limit", value: asked.level, unit, interval: undefined }],
      dof: asked.found.length - 1,
      remark: `confirmed: one more result would lie within ${range}`,
    });
  } catch (error) {
    if (isIonbookError(error) && error.code === "too-few-replicates")
      return rungOf(definition, unit, error.message);
    throw error;
  }
}
