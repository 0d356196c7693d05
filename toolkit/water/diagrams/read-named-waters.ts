import { IonbookError } from "../../errors.js";
import { isMeasuredValue } from "../../uncertainty/measured.js";
import {
  type BoundableValue,
  type GroupBy,
  type GroupedWater,
  isBound,
  type NamedWater,
  type WaterInputs,
} from "./named-water.js";
import { isPublishedWater, publishedAsNamed } from "./published-as-named.js";

const FORM = '{ name: "well 1", concentrations: { calcium: 62, chloride: 31 }, alkalinity: 160, pH: 7.6 }';

/**
 * The waters of a call, checked, each with its group.
 *
 * @throws IonbookError "no-waters", "bad-water", "duplicate-name", "unknown-field"
 */
export function readNamedWaters<W extends NamedWater>(
  input: WaterInputs<W>,
  groupBy: GroupBy<W> | undefined,
  call: string,
): readonly GroupedWater[] {
  const waters = listOf(input, call);
  if (waters.length === 0)
    throw new IonbookError("no-waters", `${call} was given no water at all: pass one or more of ${FORM}`);
  waters.forEach((water, index) => {
    requireWater(water, index, call);
  });
  requireDistinctNames(waters, call);
  requireKnownField(waters, groupBy, call);
  return waters.map((water) => ({ water, group: groupOf(water as W, groupBy) }));
}

function listOf(input: WaterInputs, call: string): readonly NamedWater[] {
  if (Array.isArray(input))
    return input.length > 0 && input.every(isPublishedWater) ? publishedAsNamed(input) : input;
  if (typeof input === "object" && input !== null) {
    if ("waters" in input && typeof input.waters === "function") return input.waters();
    if ("waters" in input && Array.isArray(input.waters)) return listOf(input.waters, call);
    if ("then" in input)
      throw new IonbookError("no-waters", `${call} was given a promise: put await before what makes it`);
    if ("concentrations" in input) return listOf([input as NamedWater], call);
  }
  throw new IonbookError(
    "no-waters",
    `${call} takes a list of waters such as ${FORM}, results of quantify, or published waters`,
  );
}

function requireWater(water: NamedWater, index: number, call: string): void {
  const place = `water ${index + 1} of ${call}`;
  if (typeof water !== "object" || water === null)
    throw new IonbookError("bad-water", `${place} is ${String(water)}; a water is written ${FORM}`);
  if (typeof water.name !== "string" || water.name.trim() === "")
    throw new IonbookError("bad-water", `${place} has no name: ${FORM}`);
  if (typeof water.concentrations !== "object" || water.concentrations === null)
    throw new IonbookError("bad-water", `"${water.name}" has no concentrations, in mg/L by ion: ${FORM}`);
  for (const [ion, value] of Object.entries(water.concentrations))
    requireValue(value, `${ion} of "${water.name}"`);
  if (water.alkalinity !== undefined) requireValue(water.alkalinity, `the alkalinity of "${water.name}"`);
}

function requireValue(value: BoundableValue, what: string): void {
  if (typeof value === "number" || isMeasuredValue(value)) return;
  if (isBound(value)) {
    if (Number.isFinite(value.below) && value.below >= 0) return;
    throw new IonbookError(
      "not-a-number",
      `${what} is given as below ${String(value.below)}: name its limit in mg/L`,
    );
  }
  throw new IonbookError(
    "not-a-number",
    `${what} is ${typeof value === "string" ? `the text "${value}"` : String(value)}: give mg/L as a number, a measured value, or { below: 0.05 }; leave out what was not measured`,
  );
}

function requireDistinctNames(waters: readonly NamedWater[], call: string): void {
  const seen = new Set<string>();
  for (const { name } of waters) {
    if (seen.has(name))
      throw new IonbookError(
        "duplicate-name",
        `${call} was given two waters called "${name}": name them differently`,
      );
    seen.add(name);
  }
}

function requireKnownField<W extends NamedWater>(
  waters: readonly NamedWater[],
  groupBy: GroupBy<W> | undefined,
  call: string,
): void {
  if (groupBy === undefined || typeof groupBy === "function") return;
  if (typeof groupBy !== "string")
    throw new IonbookError(
      "bad-option",
      `groupBy of ${call} names a field of the waters, as in groupBy: "site"`,
    );
  if (waters.some((water) => Object.hasOwn(water, groupBy))) return;
  const fields = [...new Set(waters.flatMap((water) => Object.keys(water)))].filter(
    (field) =>
      !["name", "concentrations", "alkalinity", "pH", "temperature", "carbonDioxide"].includes(field),
  );
  const known = fields.length === 0 ? "they have none to group by" : `they have ${fields.join(", ")}`;
  throw new IonbookError(
    "unknown-field",
    `no water has the field "${groupBy}" that ${call} should group by; ${known}`,
  );
}

function groupOf<W extends NamedWater>(water: W, groupBy: GroupBy<W> | undefined): string {
  const value: unknown =
    typeof groupBy === "function" ? groupBy(water) : Reflect.get(water, groupBy ?? "group");
  return value === undefined || value === null ? "" : String(value).trim();
}
