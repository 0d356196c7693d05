import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { combineLinear, type MeasuredValue } from "../../uncertainty/measured.js";
import { BALANCE_CRITERIA, type BalanceCriterion } from "../balance/balance-criteria.js";
import { inWords } from "../balance/balance-words.js";
import { balanceNotes } from "./balance-bars.js";
import { someOf } from "./diagram-notes.js";
import {
  type BalanceInputs,
  DILUTE,
  type DrawnBalance,
  type DrawnBalanceOptions,
  drawnBalances,
} from "./drawn-balance.js";
import type { NamedWater } from "./named-water.js";
import { requireOneOf } from "./require-options.js";
import { namesOfGroups } from "./six-groups.js";

export interface BalanceSeriesOptions<W extends NamedWater = NamedWater> extends DrawnBalanceOptions<W> {
  /** "order" as given, the default, or "charge": the mean of both sums, on a logarithmic scale. */
  readonly against?: "order" | "charge";
  /**
   * The rule whose limits are drawn; default, from `BALANCE_CRITERIA`, Standard Methods 1030 E, and up to 0.5 meq/L on both
   * sides together that of the World Meteorological Organization for rain.
   */
  readonly criterion?: BalanceCriterion;
  readonly title?: string;
}

/** One water of the series. */
export interface SeriesBalance {
  readonly name: string;
  readonly group: string;
  /** From 1. */
  readonly order: number;
  /** Mean of both sums, meq/L. */
  readonly charge: number;
  /** 100·(C − A)/(C + A), and its interval of 95 %. */
  readonly percentDifference: MeasuredValue;
  readonly low: number;
  readonly high: number;
  /** The same with unidentified anions counted, %; undefined where there are none. */
  readonly withUnknowns: number | undefined;
  /** Limit of the criterion at this charge, %; undefined where it is silent. */
  readonly limit: number | undefined;
  readonly passed: boolean;
  /** True where a main ion was not measured: the difference tests nothing. */
  readonly open: boolean;
  readonly lacking: readonly string[];
}

export interface BalanceSeries {
  readonly kind: "balance-series";
  readonly title: string;
  readonly against: "order" | "charge";
  readonly groups: readonly string[];
  readonly points: readonly SeriesBalance[];
  /** Mean difference of the complete balances, their correlations kept; undefined with fewer than two of them. */
  readonly mean: MeasuredValue | undefined;
  /** Sources of the limits. */
  readonly limitSources: readonly string[];
  readonly notes: readonly string[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const KNOWN = {
  groupBy: true,
  against: true,
  criterion: true,
  title: true,
  hydrogencarbonate: true,
} as const;
const PRECIPITATION = BALANCE_CRITERIA.find(({ precipitation }) => precipitation) ?? BALANCE_CRITERIA[0];
const STANDARD_METHODS =
  BALANCE_CRITERIA.find(({ source }) => source.includes("1030 E")) ?? BALANCE_CRITERIA[0];

/**
 * The charge balances of a batch one beside the other: percent difference with its interval of 95 %, the limit that a
 * published rule sets at each water's charge, and the mean of all, which shows what they have in common, as a calibration
 * that is off. Correlations between waters, from shared standards, are kept in the mean.
 *
 * @param balances balances, results of `quantify`, or waters as for `piperDiagram`, whose balances are made by `chargeBalance`
 * @throws IonbookError "no-balances", "unknown-option", "bad-option"; of waters as `piperDiagram` and `chargeBalance`
 * @source limits: Standard Methods 1030 E, or the criterion given; mean: JCGM 100, 5.2
 */
export function balanceSeries<W extends NamedWater>(
  balances: BalanceInputs<W>,
  options: BalanceSeriesOptions<W> = {},
): BalanceSeries {
  requireKnownOptions(options, KNOWN, "balanceSeries");
  requireOneOf(options.against, ["order", "charge"], "against", "balanceSeries");
  const { against = "order" } = options;
  const ruleFor = ({ cations, anions }: DrawnBalance): BalanceCriterion =>
    options.criterion ?? (cations.value + anions.value <= DILUTE ? PRECIPITATION : STANDARD_METHODS);
  const { balances: drawn, leftOut } = drawnBalances(balances, options, "balanceSeries");
  const points = drawn.map((balance, i) => pointOf(balance, i + 1, ruleFor(balance)));
  const complete = points.filter(({ open }) => !open);
  const result: BalanceSeries = {
    kind: "balance-series",
    title: options.title ?? "",
    against,
    groups: namesOfGroups(drawn),
    points,
    mean: complete.length < 2 ? undefined : meanOf(complete),
    limitSources: [...new Set(drawn.map((balance) => ruleFor(balance).source))],
    notes: [
      ...failedNote(points),
      ...balanceNotes(
        drawn.map((balance) => ({ ...balance, parts: [] })),
        leftOut,
      ),
    ],
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function pointOf(balance: DrawnBalance, order: number, criterion: BalanceCriterion): SeriesBalance {
  const { name, group, cations, anions, percentDifference, unknownAnions, passed, lacking } = balance;
  const { low, high } = percentDifference.interval();
  const [c, a] = [cations.value, anions.value];
  const n = unknownAnions?.value ?? 0;
  return {
    name,
    group,
    order,
    charge: (c + a) / 2,
    percentDifference,
    low,
    high,
    withUnknowns: n > 0 ? (100 * (c - a - n)) / (c + a + n) : undefined,
    limit: limitAt(c, a, criterion),
    passed,
    open: lacking.length > 0,
    lacking,
  };
}

/** The limit of a rule as percent of both sums; undefined where it is silent, or counts in standard uncertainties. */
function limitAt(cations: number, anions: number, { scale, bands }: BalanceCriterion): number | undefined {
  const size = scale === "anion sum, meq/L" ? anions : 1000 * (cations + anions);
  const band = bands.find(([upTo]) => size <= upTo);
  if (band === undefined) return undefined;
  const [, measure, limit] = band;
  if (measure === "normalized") return undefined;
  if (measure === "difference") return (100 * limit) / (cations + anions);
  return measure === "percent" ? limit : limit / 2;
}

function meanOf(points: readonly SeriesBalance[]): MeasuredValue {
  const factor = 1 / points.length;
  return combineLinear(
    points.map(({ percentDifference }) => ({ value: percentDifference, factor })),
    "%",
  );
}

function failedNote(points: readonly SeriesBalance[]): readonly string[] {
  const failed = points.filter(({ passed, open }) => !passed && !open).map(({ name }) => name);
  return failed.length === 0
    ? []
    : [`${failed.length} of ${points.length} fail: ${someOf(failed, points.length)}.`];
}

function describe({ title, points, mean, notes }: BalanceSeries): string {
  const average = mean === undefined ? "" : `; mean difference ${inWords(mean)}`;
  const lines = points.map(({ name, percentDifference, passed, lacking }) => {
    const verdict =
      lacking.length > 0 ? `no test without ${lacking.join(", ")}` : passed ? "passes" : "fails";
    return `${name}: ${inWords(percentDifference)}, ${verdict}`;
  });
  const waters = points.length === 1 ? points[0].name : `${points.length} waters`;
  return [
    `Charge balance of ${title === "" ? waters : `${title}, ${waters}`}${average}`,
    ...lines,
    ...notes,
  ].join("\n");
}
