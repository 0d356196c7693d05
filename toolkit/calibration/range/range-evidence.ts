import { fisherQuantile } from "../../numeric/distributions.js";
import type { MandelTest } from "../response/types.js";
import { weightedFit } from "../response/weighted-fit.js";
import { lackOfFit } from "../tests-of-fit/lack-of-fit.js";
import { mandelTest } from "../tests-of-fit/mandel.js";
import { residualRuns } from "../tests-of-fit/residual-runs.js";
import { mean, type RangeStudy, type StudiedLevel, weightedColumns } from "./range-study.js";
import type { RangeEvidence, ResolvedCriteria, UnansweredTest } from "./range-types.js";

const COMMON = "common practice, no source";

/** Lines of the protocol: those answered and those that the data leave open. */
export interface RangeProtocol {
  readonly evidence: readonly RangeEvidence[];
  readonly notAsked: readonly UnansweredTest[];
}

/** Mandel's test on the levels from `first` to `last`, relevant by the study's own threshold. */
export function curvatureOf(
  { points, levels }: RangeStudy,
  first: number,
  last: number,
  { weighting, relevantPercent }: ResolvedCriteria,
): MandelTest {
  const members = levels.slice(first, last + 1).flatMap((level) => level.members);
  const { x, y, weights } = weightedColumns(points, members, weighting);
  const found = mandelTest(x, y, weights);
  return {
    ...found,
    relevant: found.F > found.critical && found.largestDifferencePercent > relevantPercent,
  };
}

/** Every line of the protocol for the levels kept, in the order of the bench. */
export function rangeProtocol(
  study: RangeStudy,
  first: number,
  last: number,
  criteria: ResolvedCriteria,
): RangeProtocol {
  const kept = study.levels.slice(first, last + 1);
  const lines = [
    levelCount(kept, criteria),
    plateau(kept, criteria),
    ...fitLines(study, kept, criteria),
    curvatureLine(study, first, last, criteria),
    largestChange(kept, "retention shift within the range, %", "retentionShiftPercent", criteria),
    largestChange(
      upper(study, first, last),
      "change of tailing above the middle levels, %",
      "tailingChangePercent",
      criteria,
    ),
    largestChange(
      upper(study, first, last),
      "change of width above the middle levels, %",
      "widthChangePercent",
      criteria,
    ),
    bothWays(study, kept, criteria),
    lowEnd(kept, criteria),
  ];
  return {
    evidence: lines.filter((line): line is RangeEvidence => "statistic" in line),
    notAsked: lines.filter((line): line is UnansweredTest => "why" in line),
  };
}

type Line = RangeEvidence | UnansweredTest;

/** Levels of the range above the middle ones of the study: where overload begins. */
function upper({ levels, skip }: RangeStudy, first: number, last: number): readonly StudiedLevel[] {
  return levels.slice(Math.max(first, levels.length - skip), last + 1);
}

function levelCount(kept: readonly StudiedLevel[], { minimumLevels }: ResolvedCriteria): Line {
  return {
    test: "levels in the range",
    statistic: kept.length,
    critical: minimumLevels,
    p: undefined,
    passed: kept.length >= minimumLevels,
    source: COMMON,
  };
}

function plateau(kept: readonly StudiedLevel[], { responseFactorPercent }: ResolvedCriteria): Line {
  return {
    test: "largest deviation of a response factor, %",
    statistic: largest(kept.map((level) => level.deviationPercent)),
    critical: responseFactorPercent,
    p: undefined,
    passed: kept.length > 0,
    source: COMMON,
  };
}

/** Lack of fit and runs of signs about one weighted straight line through the levels kept. */
function fitLines(
  study: RangeStudy,
  kept: readonly StudiedLevel[],
  criteria: ResolvedCriteria,
): readonly Line[] {
  const [fit, signs] = ["lack of fit against replicates (F)", "runs of residual signs over the levels"];
  if (kept.length < 3) {
    const why = "fewer than three levels are left";
    return [
      { test: fit, why },
      { test: signs, why },
    ];
  }
  const members = kept.flatMap((level) => level.members);
  const { x, y, weights } = weightedColumns(study.points, members, criteria.weighting);
  const line = weightedFit([new Float64Array(x.length).fill(1), x], y, weights);
  const [intercept, slope] = line.coefficients;
  const offPercent = kept.map(({ concentration, members: own }) => {
    const found = (mean(own.map((i) => study.points[i].response)) - intercept) / slope;
    return 100 * (found / concentration - 1);
  });
  const readings = members.map((i) => study.points[i]);
  return [
    misfit(fit, lackOfFit(readings, line.residuals, weights, 2), offPercent, criteria),
    runs(signs, offPercent, criteria),
  ];
}

function misfit(
  test: string,
  found: ReturnType<typeof lackOfFit>,
  offPercent: readonly number[],
  { significance, relevantPercent }: ResolvedCriteria,
): Line {
  if (!found) return { test, why: "no level has replicates that differ" };
  const critical = fisherQuantile(1 - significance, found.dfNumerator, found.dfDenominator);
  const most = largest(offPercent);
  return {
    test,
    statistic: found.F,
    critical,
    p: found.p,
    passed: found.F <= critical || most <= relevantPercent,
    source: `Draper and Smith, Applied Regression Analysis, §1.5, ${100 * significance} %; relevance ${COMMON}`,
    remark: relevance(found.F > critical, most, relevantPercent),
  };
}

function runs(
  test: string,
  offPercent: readonly number[],
  { significance, relevantPercent }: ResolvedCriteria,
): Line {
  const found = residualRuns(offPercent);
  const positive = offPercent.filter((off) => off > 0).length;
  const critical = fewestRuns(positive, offPercent.filter((off) => off < 0).length, significance);
  const most = largest(offPercent);
  return {
    test,
    statistic: found.runs,
    critical,
    p: found.p,
    passed: found.runs >= critical || most <= relevantPercent,
    source: `Wald and Wolfowitz 1940, exact lower tail, ${100 * significance} %; relevance ${COMMON}`,
    remark: [`longest run ${found.longestRun}`, relevance(found.runs < critical, most, relevantPercent)]
      .filter(Boolean)
      .join("; "),
  };
}

/** The smallest number of runs that chance brings with more than the significance. */
function fewestRuns(positive: number, negative: number, significance: number): number {
  const most =
    positive === 0 || negative === 0 ? 1 : 2 * Math.min(positive, negative) + (positive === negative ? 0 : 1);
  const least = positive > 0 && negative > 0 ? 2 : 1;
  for (let count = least; count < most; count++) {
    if (residualRuns(arranged(positive, negative, count)).p >= significance) return count;
  }
  return most;
}

/** Signs in exactly `count` runs, the longer side first; what is left over lengthens the first run of each side. */
function arranged(positive: number, negative: number, count: number): number[] {
  const [many, few, sign] = positive >= negative ? [positive, negative, 1] : [negative, positive, -1];
  const [ofMany, ofFew] = [Math.ceil(count / 2), Math.floor(count / 2)];
  return Array.from({ length: count }, (_, run) => {
    const first = run < 2;
    const mine = run % 2 === 0;
    const length = first ? (mine ? many - ofMany + 1 : few - ofFew + 1) : 1;
    return new Array<number>(length).fill(mine ? sign : -sign);
  }).flat();
}

function relevance(significant: boolean, most: number, limit: number): string | undefined {
  if (!significant) return undefined;
  const size = `moves no level by more than ${most.toFixed(1)} %`;
  return most <= limit
    ? `significant, yet it ${size}`
    : `moves a level by ${most.toFixed(1)} % (limit ${limit} %)`;
}

function curvatureLine(study: RangeStudy, first: number, last: number, criteria: ResolvedCriteria): Line {
  const test = `curvature (Mandel), relevant above ${criteria.relevantPercent} % of a level`;
  const found = first <= last ? curvatureOf(study, first, last, criteria) : undefined;
  if (!found || Number.isNaN(found.F)) return { test, why: "too few readings are left for a parabola" };
  return {
    test,
    statistic: found.F,
    critical: found.critical,
    p: found.p,
    passed: !found.relevant,
    source: "ISO 8466-1:1990, 99 % (from memory)",
    remark: relevance(found.F > found.critical, found.largestDifferencePercent, criteria.relevantPercent),
  };
}

function largestChange(
  levels: readonly StudiedLevel[],
  test: string,
  figure: "retentionShiftPercent" | "tailingChangePercent" | "widthChangePercent",
  criteria: ResolvedCriteria,
): Line {
  const changes = levels.flatMap((level) => level[figure] ?? []);
  if (changes.length === 0) {
    return {
      test,
      why:
        levels.length === 0 ? "no level above the middle ones is left" : "the peaks' figures were not given",
    };
  }
  const statistic = largest(changes);
  const critical = criteria[figure];
  return { test, statistic, critical, p: undefined, passed: statistic <= critical, source: COMMON };
}

function bothWays(
  study: RangeStudy,
  kept: readonly StudiedLevel[],
  { responseFactorPercent }: ResolvedCriteria,
): Line {
  const test = "descending against ascending, largest difference, %";
  const differences = kept.flatMap(({ members }) => {
    const of = (direction: string) =>
      members.filter((i) => study.points[i].direction === direction).map((i) => study.points[i].response);
    const [up, down] = [of("ascending"), of("descending")];
    return up.length > 0 && down.length > 0 ? [100 * (mean(down) / mean(up) - 1)] : [];
  });
  if (differences.length === 0) return { test, why: "no level is marked as run both ways" };
  const statistic = largest(differences);
  return {
    test,
    statistic,
    critical: responseFactorPercent,
    p: undefined,
    passed: statistic <= responseFactorPercent,
    source: COMMON,
  };
}

function lowEnd(kept: readonly StudiedLevel[], { quantificationLimit, unit }: ResolvedCriteria): Line {
  const test = `low end against the quantification limit, ${unit}`;
  if (quantificationLimit === undefined) return { test, why: "no quantification limit was given" };
  const low = kept.length > 0 ? kept[0].concentration : Number.NaN;
  return {
    test,
    statistic: low,
    critical: quantificationLimit,
    p: undefined,
    passed: low >= quantificationLimit * (1 - 1e-9),
    source: COMMON,
  };
}

function largest(values: readonly number[]): number {
  return values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
}
