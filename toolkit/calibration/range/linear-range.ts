import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { checkPoints } from "../curve/check-points.js";
import { requireRangeReadings, resolveCriteria } from "./range-criteria.js";
import { curvatureOf, type RangeProtocol, rangeProtocol } from "./range-evidence.js";
import { FEWEST_LEVELS, type RangeStudy, readStudy, type StudiedLevel } from "./range-study.js";
import type {
  LinearRange,
  RangeCriteria,
  RangeEvidence,
  RangeLevel,
  RangeReading,
  ResolvedCriteria,
  UnansweredTest,
} from "./range-types.js";

export type {
  LinearRange,
  RangeCriteria,
  RangeEvidence,
  RangeLevel,
  RangeReading,
  ResolvedCriteria,
  UnansweredTest,
} from "./range-types.js";

/**
 * The range over which the response is proportional to the concentration, from a run of 7 to 9 levels over the hoped
 * range and beyond, as a protocol that a reviewer can check line by line.
 *
 * Response factors RFⱼ = (ȳⱼ − b₀)/xⱼ against the median of the middle levels (all but a quarter at each end); the
 * range grows from the middle both ways as long as |RFⱼ/RF_ref − 1| ≤ 5 %, the peak shows no overload (retention shift
 * above 2 %; above the middle levels, tailing off by 20 % or width by 10 %), and the level does not lie below the
 * quantification limit. Then Mandel's test on the readings kept: while the curvature is significant and moves a level by
 * more than 2 %, the top level goes. b₀ is the mean response of the zero level where there is one, else the intercept of
 * the 1/x² line through the levels up to the middle ones.
 *
 * Evidence for the range kept: number of levels, plateau, lack of fit and runs of residual signs about a weighted line
 * (both fail only if they also move a level by more than 2 %), curvature, retention, tailing, width, ascending against
 * descending, low end. What the data do not answer stands in `notAsked`. Accepted when every line passes. A level that is
 * off by a usual slip (as N, µg for mg, a dilution) says so. Readings with `rejected` are left out.
 *
 * Concentrations in `unit` (mg/L), responses in any one unit, times in min.
 *
 * @throws IonbookError "unknown-option", "bad-option", "bad-points", "bad-peak-figure", "unknown-weighting",
 *   "unknown-ion", "too-few-levels" for fewer than four levels above zero, "falling-line", "too-few-points",
 *   "not-a-number", "negative-concentration", "negative-uncertainty"
 * @source response-factor plateau of 5 %, overload signs and relevance thresholds: common practice, no source; Mandel:
 *   ISO 8466-1:1990; lack of fit: Draper and Smith; runs: Wald and Wolfowitz 1940
 */
export function validateLinearRange(
  points: readonly RangeReading[],
  criteria: RangeCriteria = {},
): LinearRange {
  requireRangeReadings(points);
  const resolved = resolveCriteria(criteria);
  const used = points.filter((point) => point.rejected === undefined);
  checkPoints(used, "linear");
  const study = readStudy(used, resolved);
  const { first, last } = trimmed(study, aroundMiddle(study), resolved);
  study.levels.forEach((level, j) => {
    if ((j < first || j > last) && level.reasons.length === 0)
      level.reasons.push("beyond a level that failed");
  });
  return new StudiedRange(study, first, last, rangeProtocol(study, first, last, resolved), resolved);
}

interface Stretch {
  readonly first: number;
  readonly last: number;
}

/** The stretch of accepted levels around the best of the middle ones; first > last where that one fails. */
function aroundMiddle({ levels, skip }: RangeStudy): Stretch {
  const fails = (level: StudiedLevel) => level.reasons.length > 0;
  let best = skip;
  for (let j = skip; j < levels.length - skip; j++) {
    if (Math.abs(levels[j].deviationPercent) < Math.abs(levels[best].deviationPercent)) best = j;
  }
  if (fails(levels[best])) return { first: best, last: best - 1 };
  let [first, last] = [best, best];
  while (first > 0 && !fails(levels[first - 1])) first--;
  while (last < levels.length - 1 && !fails(levels[last + 1])) last++;
  return { first, last };
}

/** The same without the top levels that bend it. */
function trimmed(study: RangeStudy, { first, last }: Stretch, criteria: ResolvedCriteria): Stretch {
  let end = last;
  while (end - first >= FEWEST_LEVELS) {
    const { F, relevant } = curvatureOf(study, first, end, criteria);
    if (!relevant) break;
    study.levels[end].reasons.push(`curved with this level (Mandel F ${F.toPrecision(3)})`);
    end--;
  }
  return { first, last: end };
}

class StudiedRange implements LinearRange {
  readonly kind = "linear-range";
  readonly low: number;
  readonly high: number;
  readonly accepted: boolean;
  readonly unit: string;
  readonly ion: string | undefined;
  readonly verdict: string;
  readonly levels: readonly RangeLevel[];
  readonly evidence: readonly RangeEvidence[];
  readonly notAsked: readonly UnansweredTest[];
  readonly reference: RangeStudy["reference"];
  readonly criteria: ResolvedCriteria;

  constructor(
    study: RangeStudy,
    first: number,
    last: number,
    { evidence, notAsked }: RangeProtocol,
    criteria: ResolvedCriteria,
  ) {
    this.levels = study.levels.map(({ members, reasons, ...figures }) => ({
      ...figures,
      readings: members.length,
      accepted: reasons.length === 0,
      reasons,
    }));
    this.low = first <= last ? this.levels[first].concentration : Number.NaN;
    this.high = first <= last ? this.levels[last].concentration : Number.NaN;
    this.accepted = evidence.every((row) => row.passed);
    this.unit = criteria.unit;
    this.ion = criteria.ion;
    this.evidence = evidence;
    this.notAsked = notAsked;
    this.reference = study.reference;
    this.criteria = criteria;
    this.verdict = verdictOf(this);
  }

  toString(): string {
    const out = this.levels.filter((level) => !level.accepted);
    return [
      this.verdict,
      ...out.map((level) => `  ${level.concentration}: ${level.reasons.join("; ")}`),
      ...this.evidence.map((row) => `  ${row.passed ? "passed" : "FAILED"}  ${evidenceText(row)}`),
      ...this.notAsked.map(({ test, why }) => `  not asked  ${test}: ${why}`),
    ].join("\n");
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}

function verdictOf({
  low,
  high,
  unit,
  ion,
  accepted,
  evidence,
  levels,
}: Omit<LinearRange, "verdict">): string {
  const of = ion === undefined ? "" : `${ion}: `;
  if (Number.isNaN(low)) return `${of}no linear range: the middle levels do not agree`;
  const kept = levels.filter((level) => level.accepted).length;
  const range = `linear from ${low} to ${high} ${unit} (${kept} of ${levels.length} levels)`;
  if (accepted) return `${of}${range}`;
  const against = evidence.filter((row) => !row.passed).map(({ test }) => test);
  return `${of}not accepted as ${range}: ${against.join("; ")}`;
}

function evidenceText({ test, statistic, critical, p, remark }: RangeEvidence): string {
  const chance = p === undefined ? "" : `, p ${p < 0.001 ? "< 0.001" : p.toPrecision(2)}`;
  return `${test}: ${short(statistic)} against ${short(critical)}${chance}${remark === undefined ? "" : `; ${remark}`}`;
}

function short(value: number): string {
  return Number.isFinite(value) ? String(Number(value.toPrecision(3))) : String(value);
}
