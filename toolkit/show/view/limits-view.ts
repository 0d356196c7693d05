import type { DisplayBundle } from "../../display.js";
import type { CalibrationLimits } from "../../limits/calibration-limits.js";
import type { CountingLimits } from "../../limits/counting-limits.js";
import type { CurrieLimits } from "../../limits/currie-limits.js";
import type { LimitsInForce } from "../../limits/limits-in-force.js";
import type { MethodDetectionLimit } from "../../limits/method-detection-limit.js";
import type { MinimumReportingLevel } from "../../limits/minimum-reporting-level.js";
import { type Content, html } from "../text/markup.js";
import { fixed, quantity, significant, trimmed } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { sentenceCase } from "../text/words.js";
import { columnTable } from "./column-table.js";
import { htmlBlock } from "./html-block.js";

type Rung = readonly [name: string, value: number | undefined, meaning: string];

const CRITICAL = "above it the ion is declared present";
const UNIT =
  "In the unit of the data, mg/L unless another was given. A limit holds for its definition alone.";

/** A definition's limits in a table, from the smallest question to the largest. */
function limitsBundle(
  text: string,
  heading: Content,
  rungs: readonly Rung[],
  notes: readonly string[],
  unit = UNIT,
): DisplayBundle {
  const given = rungs.filter(([, value]) => value !== undefined);
  const drawn = columnTable([
    { title: "limit", cells: { words: given.map(([name]) => name) } },
    { title: "value", cells: { numbers: given.map(([, value]) => significant(value as number, 3)) } },
    { title: "meaning", cells: { prose: given.map(([, , meaning]) => meaning) } },
  ]);
  return {
    "text/plain": text,
    "text/html": htmlBlock(html`<p><strong>${heading}</strong></p>
${drawn}
${notes.map((note) => html`<p>${typesetSentence(note)}</p>\n`)}
<p class="note">${unit}</p>`),
  };
}

const probability = (share: number): string => quantity(trimmed(100 * share, 3), "%");

export function limitsInForceView(limits: LimitsInForce): DisplayBundle {
  const { criticalValue, detectionLimit, quantificationLimit, standardDeviation, dof, definition } = limits;
  const of = limits.from === "blanks" ? "of the blanks" : "of a reading at zero, by the calibration";
  return limitsBundle(
    String(limits),
    "Limits in force",
    [
      ["critical value", criticalValue, CRITICAL],
      ["detection limit", detectionLimit, "the content that is found with the agreed probability"],
      ["quantification limit", quantificationLimit, "from it on a number is quantified"],
      ["standard deviation", standardDeviation, `${of}; ${dofText(dof)}`],
    ],
    [definition],
  );
}

export function calibrationLimitsView(limits: CalibrationLimits): DisplayBundle {
  const { standard, criticalValue, detectionLimit, quantificationLimit, criticalResponse, dof, doubts } =
    limits;
  const none = quantificationLimit === undefined && standard === "DIN 32645";
  return limitsBundle(
    String(limits),
    `Limits from the calibration line (${standard})`,
    [
      ["critical value", criticalValue, CRITICAL],
      ["detection limit", detectionLimit, "the content that is found with the agreed probability"],
      ["quantification limit", quantificationLimit, "known to the relative half-width asked for"],
      ["critical response", criticalResponse, `response at the critical value; ${dofText(dof)}`],
    ],
    [...(none ? ["the line is not good enough for a quantification limit"] : []), ...doubts],
  );
}

export function currieLimitsView(limits: CurrieLimits): DisplayBundle {
  const { criticalLevel, detectionLimit, detectionLimitByTwoT, determinationLimit, alpha, beta, dof } =
    limits;
  return limitsBundle(
    String(limits),
    "Limits from blanks (Currie)",
    [
      ["critical level", criticalLevel, `above it declared present; false positives ${probability(alpha)}`],
      ["detection limit", detectionLimit, `found with ${probability(1 - beta)} (noncentral t)`],
      ["detection limit by 2t", detectionLimitByTwoT, "the same by the sum of two quantiles of t"],
      ["determination limit", determinationLimit, "measured with the relative standard deviation asked for"],
    ],
    [dofText(dof)],
  );
}

export function countingLimitsView(limits: CountingLimits): DisplayBundle {
  return limitsBundle(
    String(limits),
    "Limits of a count rate (ISO 11929-1)",
    [
      ["decision threshold", limits.decisionThreshold, "above it declared present"],
      ["detection limit", limits.detectionLimit, "found with the agreed probability"],
    ],
    [],
    `In ${limits.unit}. A limit holds for its definition alone.`,
  );
}

export function methodDetectionLimitView(limit: MethodDetectionLimit): DisplayBundle {
  const { mdl, mdlFromFortified, mdlFromBlanks, dof, t, blankRule } = limit;
  return limitsBundle(
    String(limit),
    `Method detection limit ${significant(mdl, 3)} (40 CFR 136 Appendix B)`,
    [
      [
        "from fortified blanks",
        mdlFromFortified,
        `t(0.99) = ${fixed(t, 3)} times their standard deviation; ${dofText(dof)}`,
      ],
      ["from blanks", mdlFromBlanks, blankRule],
      ["method detection limit", mdl, "the larger of the two"],
    ],
    mdlFromBlanks === undefined ? [blankRule] : [],
  );
}

export function minimumReportingLevelView(level: MinimumReportingLevel): DisplayBundle {
  const { fortified, confirmed, lowerPercent, upperPercent, halfRange, mean, standardDeviation } = level;
  const one = `One more result would lie within ${fixed(lowerPercent, 0)} to ${quantity(fixed(upperPercent, 0), "%")} of it (99 %); 50 to 150 % are allowed.`;
  return limitsBundle(
    String(level),
    `Reporting level ${significant(fortified, 3)} ${confirmed ? "confirmed" : "not confirmed"}`,
    [
      ["fortified level", fortified, "what was added"],
      ["mean found", mean, sentenceCase(`${quantity(fixed((100 * mean) / fortified, 0), "%")} of it`)],
      ["standard deviation", standardDeviation, "of the replicates"],
      ["half range", halfRange, "of the prediction interval of one more result (99 %)"],
    ],
    [one],
  );
}

function dofText(dof: number): string {
  return Number.isFinite(dof) ? `${trimmed(dof, 3)} degrees of freedom` : "standard deviation taken as known";
}
