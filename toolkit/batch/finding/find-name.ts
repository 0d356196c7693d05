import { IonbookError } from "../../errors.js";
import { nearestNames } from "../../ions/nearest-names.js";

/** What a name is recognised by: letters and digits alone, without case and without zeros in front of a number. */
export function nameKey(name: string): string {
  return name
    .normalize("NFKC")
    .toLowerCase()
    .replace(/(?<!\d)0+(?=\d)/g, "")
    .replace(/[^\p{L}\p{N}]+/gu, "");
}

/** All names that `wanted` can mean: the one written exactly so, else those that differ in spelling alone. */
export function namesMeant(wanted: string, names: readonly string[]): readonly string[] {
  if (names.includes(wanted)) return [wanted];
  const key = nameKey(wanted);
  return key === "" ? [] : names.filter((name) => nameKey(name) === key);
}

/**
 * Refuses anything but a text where a name is asked for.
 *
 * @throws IonbookError "not-a-name"
 */
export function requireName(given: unknown, what: string, example: string): asserts given is string {
  if (typeof given === "string" && given.trim() !== "") return;
  const seen =
    given === undefined
      ? "nothing was given"
      : given === ""
        ? "an empty text was given"
        : `${describe(given)} was given`;
  throw new IonbookError("not-a-name", `${what} is asked for by name and ${seen}: write ${example}`);
}

function describe(given: unknown): string {
  if (typeof given === "number") return `the number ${given}`;
  if (given === null) return "null";
  if (Array.isArray(given)) return "a list";
  return typeof given === "object" ? "an object" : `a ${typeof given}`;
}

/** `Is "A018" meant?`, or where nothing is near, what there is. */
export function suggestion(wanted: string, names: readonly string[], all = "There are"): string {
  const near = nearestNames(wanted, names);
  if (near.length > 0) return `Is ${quotedList(near, "or")} meant?`;
  return names.length === 0 ? "There are none." : `${all} ${quotedList(names, "and", 8)}.`;
}

/** `"a", "b" and "c"`; after `most` names the rest is counted. */
export function quotedList(names: readonly string[], word: "and" | "or", most = 8): string {
  const shown = names.slice(0, most).map((name) => `"${name}"`);
  const rest = names.length - shown.length;
  if (rest > 0) return `${shown.join(", ")} and ${rest} more`;
  if (shown.length <= 1) return shown.join("");
  return `${shown.slice(0, -1).join(", ")} ${word} ${shown[shown.length - 1]}`;
}
