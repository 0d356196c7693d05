import { IonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { exactly, isMeasuredValue, type MeasuredValue, measured } from "../../uncertainty/measured.js";
import { applyCriteria } from "../balance/balance-criteria.js";
import { type ChargeBalance, chargeBalance } from "../balance/charge-balance.js";
import { inAir, named, unlessNothing, waterOptions } from "./charge-groups.js";
import {
  type BoundableValue,
  type GroupBy,
  type GroupedWater,
  isBound,
  type NamedWater,
  type WaterInputs,
} from "./named-water.js";
import { readNamedWaters } from "./read-named-waters.js";
import { requireOneOf } from "./require-options.js";

/** A balance that a batch has made of one of its samples. */
export interface SampleBalanceLike {
  readonly kind: "sample-balance";
  readonly sample: string;
  readonly cations: MeasuredValue;
  readonly anions: MeasuredValue;
  readonly percentDifference: MeasuredValue;
  readonly unknownAnions: MeasuredValue | undefined;
  readonly passed: boolean;
  readonly parts: readonly {
    readonly ion: string;
    readonly side: "cation" | "anion";
    readonly milliequivalents: MeasuredValue;
    readonly bound: boolean;
  }[];
}

/** What balances are drawn from: balances, results of a batch, or waters, whose balances are made first. */
export type BalanceInputs<W extends NamedWater = NamedWater> =
  | ChargeBalance
  | SampleBalanceLike
  | readonly (ChargeBalance | SampleBalanceLike)[]
  | { readonly balances: readonly SampleBalanceLike[] }
  | WaterInputs<W>;

/** One ion's charge in a drawn balance. */
export interface DrawnPart {
  readonly ion: string;
  readonly side: "cation" | "anion";
  /** meq/L as it counts in the sum. */
  readonly milliequivalents: MeasuredValue;
  /** True where it was not detected, or only bounded. */
  readonly bound: boolean;
  /** What is drawn, meq/L: the bound where there is one, else the value. */
  readonly extent: number;
}

export interface DrawnBalance {
  readonly name: string;
  /** "" where nothing is grouped. */
  readonly group: string;
  readonly cations: MeasuredValue;
  readonly anions: MeasuredValue;
  /** 100·(C − A)/(C + A) */
  readonly percentDifference: MeasuredValue;
  /** Charge of unidentified anions, meq/L, not among the anions. */
  readonly unknownAnions: MeasuredValue | undefined;
  readonly passed: boolean;
  readonly parts: readonly DrawnPart[];
  /** Main ions of a water that do not take part because they were not measured. */
  readonly lacking: readonly string[];
}

/** How waters are balanced and grouped; balances that are made already are taken as they are. */
export interface DrawnBalanceOptions<W extends NamedWater = NamedWater> {
  /** A field of the waters, "site", or a function of one; by default their `group`. */
  readonly groupBy?: GroupBy<W>;
  /** "from air": of waters with a pH and without alkalinity, by equilibrium with air; default "measured". */
  readonly hydrogencarbonate?: "measured" | "from air";
}

/** Balances to draw, and the names of waters in which no charge was found. */
export interface DrawnBalances {
  readonly balances: readonly DrawnBalance[];
  readonly leftOut: readonly string[];
}

const MAIN = ["calcium", "magnesium", "sodium", "chloride", "sulfate", "hydrogencarbonate"] as const;
/** Sum of both sides that counts as rain, as in `chargeBalance`, meq/L. */
export const DILUTE = 0.5;
/** Charge of H⁺ at the pH below which there is no hydrogencarbonate, meq/L. */
const ACID = 10 ** (3 - 4.5);

/**
 * Balances to draw. Of a water with bounded ions, those count as half their bound, with the whole range from nothing to the
 * bound as their uncertainty (rectangular) where the other concentrations have one.
 *
 * @throws IonbookError "no-balances"; of waters as `readNamedWaters` and `chargeBalance`
 */
export function drawnBalances<W extends NamedWater>(
  input: BalanceInputs<W>,
  { groupBy, hydrogencarbonate }: DrawnBalanceOptions<W>,
  call: string,
): DrawnBalances {
  requireOneOf(hydrogencarbonate, ["measured", "from air"], "hydrogencarbonate", call);
  const given = balancesIn(input) ?? [];
  if (given.length > 0) return { balances: given.map(drawn), leftOut: [] };
  if (isListOfBalances(input)) throw nothingToDraw(call);
  const read = readNamedWaters(input as WaterInputs<W>, groupBy, call);
  const waters = read.map(({ water, group }) => ({
    water: hydrogencarbonate === "from air" ? named(water, () => inAir(water)) : water,
    group,
  }));
  const made = waters.map((water) =>
    named(water.water, () => unlessNothing(() => balanceOfWater(water), undefined)),
  );
  const balances = made.filter((balance) => balance !== undefined);
  if (balances.length === 0) throw nothingToDraw(call);
  const leftOut = waters.filter((_, i) => made[i] === undefined).map(({ water }) => water.name);
  return { balances, leftOut };
}

function nothingToDraw(call: string): IonbookError {
  return new IonbookError(
    "no-balances",
    `${call} was given no balance: a batch has balances where both channels were quantified together, in mg/L, and a water where an ion of it was measured`,
  );
}

function isListOfBalances(input: unknown): boolean {
  return typeof input === "object" && input !== null && "balances" in input;
}

function balancesIn(input: unknown): readonly (ChargeBalance | SampleBalanceLike)[] | undefined {
  if (isBalance(input)) return [input];
  if (Array.isArray(input)) return input.length > 0 && input.every(isBalance) ? input : undefined;
  if (typeof input === "object" && input !== null && "balances" in input && Array.isArray(input.balances))
    return input.balances;
  return undefined;
}

function isBalance(value: unknown): value is ChargeBalance | SampleBalanceLike {
  if (typeof value !== "object" || value === null || !("kind" in value)) return false;
  return value.kind === "charge-balance" || value.kind === "sample-balance";
}

function drawn(balance: ChargeBalance | SampleBalanceLike, index: number): DrawnBalance {
  const { cations, anions, percentDifference, passed } = balance;
  const parts = balance.parts.map((part): DrawnPart => {
    const bound = "bound" in part && part.bound === true;
    return { ...part, bound, extent: part.milliequivalents.value };
  });
  return {
    name: balance.kind === "sample-balance" ? balance.sample : `water ${index + 1}`,
    group: "",
    cations,
    anions,
    percentDifference,
    unknownAnions:
      balance.kind === "sample-balance" ? balance.unknownAnions : balance.withUnknowns?.unknown.from,
    passed,
    parts,
    lacking: lackingIn(parts),
  };
}

function balanceOfWater({ water, group }: GroupedWater): DrawnBalance {
  const entries = Object.entries(water.concentrations);
  const { alkalinity } = water;
  const uncertain = [...entries.map(([, value]) => value), alkalinity].some(
    (value) => isMeasuredValue(value) && value.u > 0,
  );
  const bounds = new Set(entries.filter(([, value]) => isBound(value)).map(([key]) => ion(key).name));
  if (isBound(alkalinity)) bounds.add("hydrogencarbonate");
  const half = (value: BoundableValue, what: string, unit: string) =>
    isBound(value)
      ? halfBound(value.below, unit, uncertain, `${what} of ${water.name} below its limit`)
      : value;
  // Judged here, by the same rules: what would make it close is not asked, which takes its time.
  const balance = chargeBalance(
    Object.fromEntries(entries.map(([key, value]) => [key, half(value, key, "mg/L")])),
    {
      ...waterOptions(
        water,
        alkalinity === undefined ? undefined : half(alkalinity, "alkalinity", "mg/L as CaCO3"),
      ),
      criteria: [],
    },
  );
  const plain = drawn(balance, 0);
  const parts = plain.parts.map((part) =>
    bounds.has(part.ion) ? { ...part, bound: true, extent: 2 * part.milliequivalents.value } : part,
  );
  const passed = passes(balance);
  return { ...plain, name: water.name, group, passed, parts, lacking: lackingIn(parts, bounds) };
}

/** By the first rule that applies, as `chargeBalance` judges. */
function passes({ cations, anions, difference }: ChargeBalance): boolean {
  const [first] = applyCriteria({
    cations: cations.value,
    anions: anions.value,
    uDifference: difference.u,
    precipitation: cations.value + anions.value <= DILUTE,
  });
  return first === undefined || first.passed;
}

function halfBound(below: number, unit: string, uncertain: boolean, source: string): MeasuredValue {
  if (!uncertain || below === 0) return exactly(below / 2, unit);
  return measured(below / 2, unit, { halfWidth: below / 2, shape: "rectangular" }, { source });
}

function lackingIn(parts: readonly DrawnPart[], bounds: ReadonlySet<string> = new Set()): readonly string[] {
  const present = new Set(parts.map((part) => part.ion));
  const hydrogen = parts.find((part) => part.ion === "hydrogen")?.milliequivalents.value ?? 0;
  return MAIN.filter((name) => {
    if (present.has(name) || bounds.has(name)) return false;
    return name !== "hydrogencarbonate" || (hydrogen < ACID && !present.has("carbonate"));
  });
}
