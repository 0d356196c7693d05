import { type Source, sameSource } from "./source.js";
import { type MeasuredValue, sourcedValue } from "./value.js";

export { NORMAL, requireName, type Source } from "./source.js";

/** So few are compared with one another faster than a table of them is made. */
const FEW = 8;

/**
 * A value from sources that are known to be sound; those of the same key add up with their signs. Takes hold of both
 * lists, which must not be written afterwards.
 *
 * @throws IonbookError "bad-value" where the value or a contribution is not a finite number
 */
export function fromKnownSources(
  value: number,
  unit: string,
  sources: readonly Source[],
  contributions: Float64Array,
): MeasuredValue {
  return allDiffer(sources)
    ? sourcedValue(value, unit, sources, contributions)
    : mergedValue(value, unit, sources, contributions);
}

function allDiffer(sources: readonly Source[]): boolean {
  if (sources.length > FEW) return new Set(sources.map(({ key }) => key)).size === sources.length;
  for (let i = 1; i < sources.length; i++) {
    for (let j = 0; j < i; j++) if (sources[i].key === sources[j].key) return false;
  }
  return true;
}

function mergedValue(
  value: number,
  unit: string,
  sources: readonly Source[],
  contributions: Float64Array,
): MeasuredValue {
  const index = new Map<string, number>();
  const merged: Source[] = [];
  const sums: number[] = [];
  sources.forEach((source, i) => {
    const at = index.get(source.key);
    if (at === undefined) {
      index.set(source.key, merged.length);
      merged.push(source);
      sums.push(contributions[i]);
    } else {
      merged[at] = sameSource(merged[at], source);
      sums[at] += contributions[i];
    }
  });
  return sourcedValue(value, unit, merged, Float64Array.from(sums));
}
