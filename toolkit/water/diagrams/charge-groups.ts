import { IonbookError, isIonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { combineLinear, exactly, type MeasuredValue, minus } from "../../uncertainty/measured.js";
import type { WaterOptions } from "../analysis/water-input.js";
import { type BalancePart, type ChargeBalance, chargeBalance } from "../balance/charge-balance.js";
import { isBound, type NamedWater } from "./named-water.js";

/** Ions that a diagram counts together. */
export interface GroupRule {
  readonly name: string;
  readonly side: "cation" | "anion";
  /** Without it there is no group. */
  readonly main: string;
  /** Counted along where measured; where not, the group is marked incomplete. */
  readonly others: readonly string[];
  /** Counted along where measured, and not missed where not. */
  readonly along?: readonly string[];
}

/** The charge of one group of ions in one water. */
export interface ChargeGroup {
  readonly name: string;
  readonly side: "cation" | "anion";
  /** meq/L, magnitude, bounded ions at their bound; undefined where the main ion was not measured. */
  readonly milliequivalents: MeasuredValue | undefined;
  /** The part of it that stands at a bound, meq/L. */
  readonly bounded: number;
  /** Ions that stand at a bound. */
  readonly bounds: readonly string[];
  /** Ions of the group that were not measured. */
  readonly absent: readonly string[];
}

/** One water sorted into groups. */
export interface GroupedCharge {
  readonly groups: readonly ChargeGroup[];
  /** Charge of measured ions that belong to no group, as part of all charge of the side; 0 to 1. */
  readonly leftOut: { readonly cation: number; readonly anion: number };
  /** "assumed-pH", "no-hydrogencarbonate-at-pH", "hydrogencarbonate-by-difference", flags of the balance. */
  readonly flags: readonly string[];
}

export interface ChargeGroupOptions {
  /**
   * Where it was not measured: "measured", the default, leaves it out; "from air" takes it from equilibrium with air at the
   * pH, for rain; "by difference" is what the balance of charge leaves over, after which no balance tests the water.
   */
  readonly hydrogencarbonate?: "measured" | "from air" | "by difference";
}

/** The words of the option, for its check. */
export const HYDROGENCARBONATE_WAYS = ["measured", "from air", "by difference"] as const;

const HYDROGENCARBONATE = "hydrogencarbonate";
/** Alkalinity is titrated down to about here: below, there is none. Common practice, no source. */
const NO_ALKALINITY_PH = 4.5;

/**
 * Charge of the groups of a diagram, meq/L: e = |z|·c/M summed over the ions of each, with all correlations of the input.
 * Weak acids, hydrogencarbonate and carbonate from alkalinity as in `chargeBalance`. Below pH 4.5 a water without
 * alkalinity holds no hydrogencarbonate.
 *
 * @throws IonbookError as `chargeBalance`, the water named
 * @source equivalents: J.D. Hem, USGS Water-Supply Paper 2254 (1985)
 */
export function chargeGroups(
  water: NamedWater,
  rules: readonly GroupRule[],
  options: ChargeGroupOptions = {},
): GroupedCharge {
  const { parts, flags, measured, bounded } = chargesOf(
    options.hydrogencarbonate === "from air" ? inAir(water) : water,
  );
  const given = new Set(measured);
  const more: string[] = [...flags];
  const all = [...parts];
  if (!given.has(HYDROGENCARBONATE)) {
    const strong = rules.every(({ main }) => main === HYDROGENCARBONATE || given.has(main));
    const found = hydrogencarbonateOf(water, parts, strong && options.hydrogencarbonate === "by difference");
    if (found !== undefined) {
      given.add(HYDROGENCARBONATE);
      all.push(found.part);
      more.push(found.flag);
    }
  }
  const groups = rules.map((rule) => groupOf(rule, all, given, bounded));
  const members = new Set(rules.flatMap(membersOf));
  const leftOut = (side: "cation" | "anion"): number => {
    const own = all.filter((part) => part.side === side);
    const sum = (list: readonly BalancePart[]) =>
      list.reduce((total, { milliequivalents }) => total + milliequivalents.value, 0);
    const total = sum(own);
    return total > 0
      ? sum(own.filter((part) => !members.has(part.ion) && !bounded.has(part.ion))) / total
      : 0;
  };
  return { groups, leftOut: { cation: leftOut("cation"), anion: leftOut("anion") }, flags: more };
}

interface WaterCharges {
  readonly parts: readonly BalancePart[];
  readonly flags: readonly string[];
  /** Names of the ions measured, hydrogencarbonate among them where alkalinity is known. */
  readonly measured: readonly string[];
  readonly bounded: ReadonlySet<string>;
}

function chargesOf(water: NamedWater): WaterCharges {
  const bounded = new Set<string>();
  const concentrations: Record<string, number | MeasuredValue> = {};
  return named(water, () => {
    for (const [key, value] of Object.entries(water.concentrations)) {
      if (isBound(value)) bounded.add(ion(key).name);
      concentrations[key] = isBound(value) ? value.below : value;
    }
    const measured = Object.keys(concentrations).map((key) => ion(key).name);
    const { alkalinity, carbonDioxide } = water;
    if ((alkalinity ?? carbonDioxide) !== undefined && !measured.includes(HYDROGENCARBONATE)) {
      measured.push(HYDROGENCARBONATE);
      if (isBound(alkalinity)) bounded.add(HYDROGENCARBONATE);
    }
    const { parts, flags } = unlessNothing<Pick<ChargeBalance, "parts" | "flags">>(
      () =>
        chargeBalance(concentrations, {
          ...waterOptions(water, isBound(alkalinity) ? alkalinity.below : alkalinity),
          criteria: [],
        }),
      { parts: [], flags: [] },
    );
    return { parts, flags, measured, bounded };
  });
}

/** The water with hydrogencarbonate from air, where it has a pH and none was measured. */
export function inAir(water: NamedWater): NamedWater {
  const measured = Object.keys(water.concentrations).some((key) => ion(key).name === HYDROGENCARBONATE);
  if (measured || water.alkalinity !== undefined || water.pH === undefined) return water;
  return { ...water, carbonDioxide: "air" };
}

/** What `compute` makes of a water; `nothing` of one that holds no charge at all. */
export function unlessNothing<T>(compute: () => T, nothing: T): T {
  try {
    return compute();
  } catch (error) {
    if (isIonbookError(error) && error.code === "nothing-to-balance") return nothing;
    throw error;
  }
}

/** What a balance is told of a water beside its concentrations. */
export function waterOptions(
  { pH, temperature, carbonDioxide }: NamedWater,
  alkalinity: number | MeasuredValue | undefined,
): WaterOptions {
  return {
    ...(pH === undefined ? {} : { pH }),
    ...(temperature === undefined ? {} : { temperature }),
    ...(carbonDioxide === undefined ? {} : { carbonDioxide }),
    ...(alkalinity === undefined ? {} : { alkalinity }),
  };
}

/** Runs `compute`; what it refuses is told with the name of the water. */
export function named<T>(water: { readonly name: string }, compute: () => T): T {
  try {
    return compute();
  } catch (error) {
    if (!isIonbookError(error)) throw error;
    throw new IonbookError(error.code, `"${water.name}": ${error.message}`);
  }
}

function hydrogencarbonateOf(
  { pH }: NamedWater,
  parts: readonly BalancePart[],
  byDifference: boolean,
): { readonly part: BalancePart; readonly flag: string } | undefined {
  const part = (milliequivalents: MeasuredValue): BalancePart => ({
    ion: HYDROGENCARBONATE,
    side: "anion",
    milliequivalents,
  });
  const value = typeof pH === "object" ? pH.value : pH;
  if (value !== undefined && value < NO_ALKALINITY_PH)
    return { part: part(exactly(0, "meq/L")), flag: "no-hydrogencarbonate-at-pH" };
  if (!byDifference) return undefined;
  const sum = (side: "cation" | "anion") =>
    combineLinear(
      parts.filter((each) => each.side === side).map((each) => ({ value: each.milliequivalents, factor: 1 })),
      "meq/L",
    );
  const rest = minus(sum("cation"), sum("anion"));
  return rest.value > 0 ? { part: part(rest), flag: "hydrogencarbonate-by-difference" } : undefined;
}

function membersOf({ main, others, along = [] }: GroupRule): readonly string[] {
  return [main, ...others, ...along];
}

function groupOf(
  rule: GroupRule,
  parts: readonly BalancePart[],
  measured: ReadonlySet<string>,
  bounded: ReadonlySet<string>,
): ChargeGroup {
  const { name, side, main, others } = rule;
  const members = membersOf(rule);
  const absent = [main, ...others].filter((each) => !measured.has(each));
  if (absent.includes(main))
    return { name, side, milliequivalents: undefined, bounded: 0, bounds: [], absent };
  const own = parts.filter((part) => members.includes(part.ion));
  const atBound = own.filter((part) => bounded.has(part.ion));
  return {
    name,
    side,
    milliequivalents: combineLinear(
      own.map(({ milliequivalents }) => ({ value: milliequivalents, factor: 1 })),
      "meq/L",
    ),
    bounded: atBound.reduce((sum, { milliequivalents }) => sum + milliequivalents.value, 0),
    bounds: atBound.map(({ ion: each }) => each),
    absent,
  };
}
