import {
  type ChargeGroup,
  type ChargeGroupOptions,
  chargeGroups,
  type GroupedCharge,
  type GroupRule,
} from "./charge-groups.js";
import type { GroupBy, NamedWater, WaterInputs } from "./named-water.js";

import { readNamedWaters } from "./read-named-waters.js";

/** What a diagram of absolute charges is told. */
export interface ChargeDiagramOptions<W extends NamedWater = NamedWater> extends ChargeGroupOptions {
  /** A field of the waters, "site", or a function of one; by default their `group`. */
  readonly groupBy?: GroupBy<W>;
  readonly title?: string;
}

/** The groups of Stiff and Schoeller diagrams: chloride stands alone. */
export const SIX_GROUPS: readonly GroupRule[] = [
  { name: "calcium", side: "cation", main: "calcium", others: [] },
  { name: "magnesium", side: "cation", main: "magnesium", others: [] },
  { name: "sodium + potassium", side: "cation", main: "sodium", others: ["potassium"] },
  { name: "chloride", side: "anion", main: "chloride", others: [] },
  { name: "sulfate", side: "anion", main: "sulfate", others: [] },
  { name: "hydrogencarbonate", side: "anion", main: "hydrogencarbonate", others: [], along: ["carbonate"] },
];

/** One water with its six groups, in the order of `SIX_GROUPS`. */
export interface SixGroups {
  readonly name: string;
  readonly group: string;
  readonly charge: GroupedCharge;
}

/** @throws IonbookError as `readNamedWaters` and `chargeBalance` */
export function sixGroupsOf<W extends NamedWater>(
  waters: WaterInputs<W>,
  options: ChargeDiagramOptions<W>,
  call: string,
): readonly SixGroups[] {
  return readNamedWaters(waters, options.groupBy, call).map(({ water, group }) => ({
    name: water.name,
    group,
    charge: chargeGroups(water, SIX_GROUPS, options),
  }));
}

/** Names of groups in the order of first mention, without the nameless one. */
export function namesOfGroups(waters: readonly { readonly group: string }[]): readonly string[] {
  return [...new Set(waters.map(({ group }) => group))].filter((group) => group !== "");
}

/** Ions of a list of groups that were not measured. */
export function absentOf(groups: readonly ChargeGroup[]): readonly string[] {
  return groups.flatMap(({ absent }) => absent);
}
