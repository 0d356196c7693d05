import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { inWords } from "../balance/balance-words.js";
import { someOf } from "./diagram-notes.js";
import {
  type BalanceInputs,
  type DrawnBalance,
  type DrawnBalanceOptions,
  type DrawnPart,
  drawnBalances,
} from "./drawn-balance.js";
import type { NamedWater } from "./named-water.js";
import { requireOneOf } from "./require-options.js";

export interface BalanceBarsOptions extends Pick<DrawnBalanceOptions, "hydrogencarbonate"> {
  readonly title?: string;
  /** "charge" in meq/L, or "percent" of each water's larger sum; by default charge up to a twentyfold difference. */
  readonly scale?: "charge" | "percent";
}

/** One ion's piece of a bar. */
export interface BarPiece {
  readonly ion: string;
  /** meq/L from the foot of the bar. */
  readonly from: number;
  readonly to: number;
  /** At a bound: drawn open. */
  readonly open: boolean;
}

/** One side of one water. */
export interface BalanceBar {
  /** Largest first, bounded ions last. */
  readonly pieces: readonly BarPiece[];
  readonly sum: MeasuredValue;
  /** Interval of the sum, 95 %, meq/L. */
  readonly low: number;
  readonly high: number;
}

export interface BalancePair extends DrawnBalance {
  readonly cationBar: BalanceBar;
  readonly anionBar: BalanceBar;
}

export interface BalanceBars {
  readonly kind: "balance-bars";
  readonly title: string;
  readonly scale: "charge" | "percent";
  readonly pairs: readonly BalancePair[];
  readonly notes: readonly string[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const TWENTYFOLD = 20;
/** An open piece shorter than this part of the longer bar is not worth a word. */
const SEEN = 0.01;
const KNOWN = { title: true, scale: true, hydrogencarbonate: true } as const;

/**
 * Paired bars of the charge of waters: cations and anions, each piece an ion in meq/L, each sum with its interval of 95 %.
 * Bounded ions stand open at the end of their bar.
 *
 * @param balances balances, results of `quantify`, or waters as for `piperDiagram`, whose balances are made by `chargeBalance`
 * @throws IonbookError "no-balances", "unknown-option", "bad-option"; of waters as `piperDiagram` and `chargeBalance`
 * @source uncertainty of the sums: JCGM 100, 5.2
 */
export function balanceBars<W extends NamedWater>(
  balances: BalanceInputs<W>,
  options: BalanceBarsOptions = {},
): BalanceBars {
  requireKnownOptions(options, KNOWN, "balanceBars");
  requireOneOf(options.scale, ["charge", "percent"], "scale", "balanceBars");
  const { balances: drawn, leftOut } = drawnBalances(
    balances,
    { hydrogencarbonate: options.hydrogencarbonate ?? "measured" },
    "balanceBars",
  );
  const sizes = drawn.map(({ cations, anions }) => Math.max(cations.value, anions.value));
  const wide = Math.max(...sizes) > TWENTYFOLD * Math.min(...sizes);
  const result: BalanceBars = {
    kind: "balance-bars",
    title: options.title ?? "",
    scale: options.scale ?? (wide ? "percent" : "charge"),
    pairs: drawn.map((balance) => ({
      ...balance,
      cationBar: barOf(balance, "cation"),
      anionBar: barOf(balance, "anion"),
    })),
    notes: balanceNotes(drawn, leftOut),
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function barOf(balance: DrawnBalance, side: "cation" | "anion"): BalanceBar {
  const own = balance.parts.filter((part) => part.side === side && part.extent > 0);
  const order = [...own.filter(({ bound }) => !bound), ...own.filter(({ bound }) => bound)];
  let at = 0;
  const pieces = order.map(({ ion, extent, bound }: DrawnPart) => {
    const from = at;
    at += extent;
    return { ion, from, to: at, open: bound };
  });
  const sum = side === "cation" ? balance.cations : balance.anions;
  const { low, high } = sum.interval();
  return { pieces, sum, low, high };
}

/** What a reader must know of balances: what they lack, and which ions only have a bound. */
export function balanceNotes(
  balances: readonly DrawnBalance[],
  leftOut: readonly string[],
): readonly string[] {
  const gathered = (of: (balance: DrawnBalance) => readonly string[]): readonly string[] => {
    const found = new Map<string, string[]>();
    for (const balance of balances)
      for (const ion of of(balance)) found.set(ion, [...(found.get(ion) ?? []), balance.name]);
    return [...found].map(([ion, names]) => `${ion} in ${someOf(names, balances.length)}`);
  };
  const lacking = gathered((balance) => balance.lacking);
  const bounds = gathered(({ parts, cations, anions }) =>
    parts
      .filter(({ bound, extent }) => bound && extent > SEEN * Math.max(cations.value, anions.value))
      .map(({ ion }) => ion),
  );
  return [
    ...(lacking.length > 0 ? [`Not measured, so the balance is no test: ${lacking.join("; ")}.`] : []),
    ...(leftOut.length > 0
      ? [`Left out, no charge was found: ${someOf(leftOut, Number.POSITIVE_INFINITY)}.`]
      : []),
    ...(bounds.length > 0 ? [`Open pieces, below a limit: ${bounds.join("; ")}.`] : []),
  ];
}

function describe({ title, pairs, notes }: BalanceBars): string {
  const failed = pairs.filter(({ passed }) => !passed).length;
  const count = pairs.length === 1 ? pairs[0].name : `${pairs.length} waters`;
  const what = title === "" ? count : `${title}, ${count}`;
  const lines = pairs.map(
    ({ name, cations, anions, percentDifference, passed }) =>
      `${name}: cations ${inWords(cations)}, anions ${inWords(anions)}, difference ${inWords(percentDifference)}, ${passed ? "passes" : "fails"}`,
  );
  return [
    `Charge of cations and anions of ${what}; ${failed} of ${pairs.length} fail`,
    ...lines,
    ...notes,
  ].join("\n");
}
