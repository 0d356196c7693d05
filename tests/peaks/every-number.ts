/** Fields that hold what was given, not what was found. */
const GIVEN = new Set(["chromatogram", "original", "missing"]);

/** Figures of a peak that are NaN where the ones they are worked out from are missing. */
const DERIVED = new Set(["foleyDorsey", "moments"]);

/**
 * Every number of a result with its name, typed arrays included. Left out are what the documentation leaves open: samples
 * outside a baseline's region, figures of a peak that `missing` names, and degrees of freedom without a limit.
 */
export function* everyNumberOf(result: unknown, name = ""): Generator<readonly [string, number]> {
  if (typeof result === "number") yield [name, result];
  if (typeof result !== "object" || result === null) return;
  const inner = (key: string) => (name === "" ? key : `${name}.${key}`);
  const skip = leftOpen(result as Readonly<Record<string, unknown>>);
  for (const [key, value] of Object.entries(result)) {
    if (GIVEN.has(key) || skip(key)) continue;
    if (isRegionCurve(result, key)) yield* inside(value as Float64Array, inner(key));
    else yield* everyNumberOf(value, inner(key));
  }
}

function leftOpen(result: Readonly<Record<string, unknown>>): (key: string) => boolean {
  if (result.kind !== "peak-figures")
    return (key) => key === "dof" && result.dof === Number.POSITIVE_INFINITY;
  const missing = result.missing as Readonly<Record<string, string>>;
  return (key) => key in missing || DERIVED.has(key);
}

function isRegionCurve(result: object, key: string): boolean {
  const { kind } = result as { readonly kind?: string };
  return (kind === "baseline" && key === "values") || (kind === "integration" && key === "residuals");
}

/** Numbers between the first and the last that is one. */
function* inside(values: Float64Array, name: string): Generator<readonly [string, number]> {
  let first = 0;
  let last = values.length - 1;
  while (first < last && Number.isNaN(values[first])) first++;
  while (last > first && Number.isNaN(values[last])) last--;
  for (let i = first; i <= last; i++) yield [`${name}.${i}`, values[i]];
}
