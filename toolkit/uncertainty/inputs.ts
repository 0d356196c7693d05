import { IonbookError } from "../errors.js";
import { requireDof } from "./coverage.js";
import { fromKnownSources } from "./known-sources.js";
import { NORMAL, namelessKey, requireName, type Source, type SourceShape } from "./source.js";
import { type MeasuredValue, sourcedValue } from "./value.js";

/** What is known of an input's spread. `halfWidth` a means that the input lies within ± a. */
export type InputUncertainty =
  | { readonly u: number }
  | { readonly halfWidth: number; readonly shape: "rectangular" | "triangular" | "arcsine" }
  | {
      readonly halfWidth: number;
      readonly shape: "trapezoidal";
      /** Width of the flat top over the width of the base, 0 (triangle) to 1 (rectangle). */
      readonly topRatio: number;
    }
  | {
      readonly halfWidth: number;
      readonly shape: "curvilinear-trapezoid";
      /** The half-width is itself known only to ± this, in the unit of the value. */
      readonly halfWidthTolerance: number;
    }
  | { readonly expanded: number; readonly k: number };

/** What else is known of an input. */
export interface AboutInput {
  /** Name of the source; values that name the same source move together. Default: a source of its own. */
  readonly source?: string;
  /** Degrees of freedom of the uncertainty. Default Infinity: taken as known. */
  readonly dof?: number;
}

/**
 * An input whose standard uncertainty follows from what is known of it:
 *
 *     u given                  u
 *     ± a, no more known       a/√3                rectangular
 *     ± a, centre likely       a/√6                triangular
 *     ± a, swinging as a sine  a/√2                arcsine
 *     ± a, flat top β·a        a·√((1 + β²)/6)     trapezoidal, β = topRatio
 *     ± (a ± d)                √(a²/3 + d²/9)      curvilinear trapezoid, d = halfWidthTolerance
 *     U with factor k          U/k
 *
 * All in `unit`. With `dof` the uncertainty counts as estimated with so many degrees of freedom.
 *
 * @throws IonbookError "bad-value" for a value that is no finite number; "bad-uncertainty" for a negative or
 *   non-finite width, a factor that is not positive or an unknown shape; "bad-dof" unless dof ≥ 1; "bad-unit" and
 *   "bad-source" for an empty text
 * @source JCGM 100:2008 (GUM), 4.3.3 to 4.3.9; JCGM 101:2008, table 1
 */
export function measured(
  value: number,
  unit: string,
  how: InputUncertainty,
  about: AboutInput = {},
): MeasuredValue {
  requireFinite(value, "the value");
  requireSpread(unit, how);
  const { u, shape } = standardUncertainty(how);
  return single(value, unit, { u, shape, dof: about.dof ?? Number.POSITIVE_INFINITY, name: about.source });
}

/**
 * The mean of independent readings with the standard uncertainty of the mean (type A):
 *
 *     x̄ = Σxᵢ/n        u = s/√n        ν = n − 1
 *
 * s experimental standard deviation, all in `unit`.
 *
 * @throws IonbookError "too-few-readings" for fewer than two; "bad-value" for a reading that is no finite number;
 *   "bad-unit" and "bad-source" for an empty text
 * @source JCGM 100:2008 (GUM), 4.2.1 to 4.2.3
 */
export function fromReadings(
  readings: readonly number[],
  unit: string,
  about: { readonly source?: string } = {},
): MeasuredValue {
  if (typeof readings !== "object" || readings === null) {
    throw new IonbookError(
      "too-few-readings",
      'Readings come as a list: fromReadings([1.21, 1.24, 1.19], "mg/L")',
    );
  }
  const n = readings.length;
  if (n < 2) {
    throw new IonbookError(
      "too-few-readings",
      `${n} reading${n === 1 ? "" : "s"} cannot show a spread; give at least two, or use measured() with a known u`,
    );
  }
  readings.forEach((reading, i) => {
    requireFinite(reading, `reading ${i + 1}`);
  });
  const mean = meanOf(readings);
  const squares = readings.reduce((sum, reading) => sum + (reading - mean) ** 2, 0);
  const u = Math.sqrt(squares / (n - 1) / n);
  return single(mean, unit, { u, shape: NORMAL, dof: n - 1, name: about.source });
}

/**
 * A value without uncertainty (a count, a definition, a chosen factor).
 *
 * @param unit default "1", the neutral unit of ratios
 * @throws IonbookError "bad-value" for a value that is no finite number; "bad-unit" for an empty text
 */
export function exactly(value: number, unit = "1"): MeasuredValue {
  requireFinite(value, "the value");
  requireUnit(unit);
  return sourcedValue(value, unit, [], new Float64Array(0));
}

/** What code that already knows its sensitivities says of one source. */
export interface SourceContribution {
  readonly source: string;
  /** Signed sensitivity·u, in the unit of the value. */
  readonly contribution: number;
  /** Degrees of freedom, default Infinity. */
  readonly dof?: number;
  /** Standard uncertainty of the source in its own unit; default |contribution|, a sensitivity of ±1. */
  readonly u?: number;
  /** Default normal. */
  readonly shape?: SourceShape;
  /** Sources of one evaluation that share its degrees of freedom, such as the parameters of one curve. */
  readonly group?: string;
}

/**
 * A value from contributions that are already known: u = √Σc². Entries that name the same source add up with
 * their signs.
 *
 * @throws IonbookError "bad-value" for a number that is not finite; "bad-uncertainty" for a negative u; "bad-dof"
 *   unless dof ≥ 1; "bad-unit" and "bad-source" for an empty text
 * @source JCGM 100:2008 (GUM), 5.1.3
 */
export function fromSources(
  value: number,
  unit: string,
  sources: readonly SourceContribution[],
): MeasuredValue {
  requireFinite(value, "the value");
  requireUnit(unit);
  const contributions = new Float64Array(sources.length);
  const stated = sources.map((entry, i) => {
    contributions[i] = entry.contribution;
    return statedSource(entry);
  });
  return fromKnownSources(value, unit, stated, contributions);
}

function statedSource(entry: SourceContribution): Source {
  const { source: key, contribution, dof = Number.POSITIVE_INFINITY, u = Math.abs(contribution) } = entry;
  requireName(key);
  requireFinite(contribution, `the contribution of "${key}"`);
  requireWidth(u, `the standard uncertainty of "${key}"`);
  requireDof(dof);
  return { key, label: key, u, dof, shape: entry.shape ?? NORMAL, group: entry.group };
}

function single(
  value: number,
  unit: string,
  about: { u: number; shape: SourceShape; dof: number; name: string | undefined },
): MeasuredValue {
  requireFinite(value, "the value");
  requireUnit(unit);
  requireDof(about.dof);
  if (about.name !== undefined) requireName(about.name);
  const key = about.name ?? namelessKey();
  const { u, dof, shape } = about;
  return sourcedValue(
    value,
    unit,
    [{ key, label: key, u, dof, shape, group: undefined }],
    Float64Array.of(u),
  );
}

/** @throws IonbookError "bad-unit", "bad-uncertainty" for a call in another order, or one that states no spread */
function requireSpread(unit: unknown, how: unknown): void {
  const call = 'measured(12.4, "mg/L", { u: 0.2 })';
  if (typeof unit !== "string") {
    throw new IonbookError("bad-unit", `A measured value needs its unit before its uncertainty: ${call}`);
  }
  const known =
    typeof how === "object" && how !== null && ("u" in how || "expanded" in how || "halfWidth" in how);
  if (known) return;
  throw new IonbookError(
    "bad-uncertainty",
    `The uncertainty of a measured value says what it is, { u }, { expanded, k } or { halfWidth, shape }: ${call}`,
  );
}

function standardUncertainty(how: InputUncertainty): { u: number; shape: SourceShape } {
  if ("u" in how) return { u: requireWidth(how.u, "u"), shape: NORMAL };
  if ("expanded" in how) {
    const expanded = requireWidth(how.expanded, "the expanded uncertainty");
    if (!(how.k > 0 && how.k < Number.POSITIVE_INFINITY)) {
      throw new IonbookError("bad-uncertainty", `The coverage factor k is ${how.k}; it must be above 0`);
    }
    return { u: expanded / how.k, shape: NORMAL };
  }
  const a = requireWidth(how.halfWidth, "the half-width");
  switch (how.shape) {
    case "rectangular":
      return { u: a / Math.sqrt(3), shape: { kind: "rectangular" } };
    case "triangular":
      return { u: a / Math.sqrt(6), shape: { kind: "triangular" } };
    case "arcsine":
      return { u: a / Math.SQRT2, shape: { kind: "arcsine" } };
    case "trapezoidal":
      return trapezoid(a, how.topRatio);
    case "curvilinear-trapezoid":
      return curvilinearTrapezoid(a, how.halfWidthTolerance);
    default:
      throw new IonbookError(
        "bad-uncertainty",
        `A half-width needs a shape (rectangular, triangular, arcsine, trapezoidal or curvilinear-trapezoid), not "${String((how as { shape?: unknown }).shape)}"`,
      );
  }
}

function trapezoid(a: number, topRatio: number): { u: number; shape: SourceShape } {
  if (!(topRatio >= 0 && topRatio <= 1)) {
    throw new IonbookError("bad-uncertainty", `topRatio is ${topRatio}; it must lie between 0 and 1`);
  }
  return { u: a * Math.sqrt((1 + topRatio ** 2) / 6), shape: { kind: "trapezoidal", topRatio } };
}

function curvilinearTrapezoid(a: number, d: number): { u: number; shape: SourceShape } {
  if (!(d >= 0 && d <= a)) {
    throw new IonbookError(
      "bad-uncertainty",
      `halfWidthTolerance is ${d}; it must lie between 0 and the half-width ${a}`,
    );
  }
  const inexactness = a === 0 ? 0 : d / a;
  return { u: Math.sqrt(a ** 2 / 3 + d ** 2 / 9), shape: { kind: "curvilinear-trapezoid", inexactness } };
}

/** The mean, corrected once for the rounding of the first sum. */
export function meanOf(values: readonly number[]): number {
  const n = values.length;
  const rough = values.reduce((sum, x) => sum + x / n, 0);
  return rough + values.reduce((sum, x) => sum + (x - rough), 0) / n;
}

/** @throws IonbookError "bad-value" unless x is a finite number */
export function requireFinite(x: number, what: string): void {
  if (!Number.isFinite(x)) {
    throw new IonbookError(
      "bad-value",
      `${what} is ${typeof x === "string" ? `the text "${x}"` : x}; a finite number is needed`,
    );
  }
}

/** @throws IonbookError "bad-unit" for an empty unit */
export function requireUnit(unit: string): void {
  if (typeof unit !== "string" || unit.trim() === "") {
    throw new IonbookError("bad-unit", `A unit text is needed; write "1" for a plain ratio`);
  }
}

function requireWidth(x: number, what: string): number {
  if (!(x >= 0 && x < Number.POSITIVE_INFINITY)) {
    throw new IonbookError("bad-uncertainty", `${what} is ${x}; it must be 0 or more`);
  }
  return x;
}
