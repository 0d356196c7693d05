import { IonbookError } from "../errors.js";

/**
 * How a source spreads around its estimate, as a Monte Carlo draw needs it. A "normal" source with finite
 * degrees of freedom is drawn from the scaled t distribution.
 */
export type SourceShape =
  | { readonly kind: "normal" | "rectangular" | "triangular" | "arcsine" }
  /** `topRatio` is the width of the flat top over the width of the base, 0 to 1. */
  | { readonly kind: "trapezoidal"; readonly topRatio: number }
  /** A rectangle whose half-width is itself known only to ± `inexactness` (a fraction of the half-width). */
  | { readonly kind: "curvilinear-trapezoid"; readonly inexactness: number };

/** One independent cause of doubt. Within a calculation a source is its `key`: equal keys move together. */
export interface Source {
  /** Identity: the name it was given, or a serial text of its own where it was given none. */
  readonly key: string;
  /** What a budget calls it; differs from `key` only where a nameless input took the name of a model's argument. */
  readonly label: string;
  /** Standard uncertainty in the unit in which the source was stated. */
  readonly u: number;
  /** Degrees of freedom of u; Infinity where u is taken as known. */
  readonly dof: number;
  readonly shape: SourceShape;
  /**
   * Sources of one group come out of one evaluation (one set of simultaneous readings, one fitted curve) and
   * share its degrees of freedom; undefined for a source on its own.
   */
  readonly group: string | undefined;
}

export const NORMAL: SourceShape = { kind: "normal" };

/** What stands before the number in the key of a source without a name. */
const NAMELESS = "unnamed-";

/** A key that no other source has. */
export function namelessKey(): string {
  // One count for the whole process: two copies of the toolkit in it must not give the same key twice.
  const shared = globalThis as { [SERIAL]?: number };
  shared[SERIAL] = (shared[SERIAL] ?? 0) + 1;
  return `${NAMELESS}${shared[SERIAL]}`;
}

const SERIAL = Symbol.for("ionbook.uncertainty.serial");

/** True for a source that nobody has named yet. */
export function isNameless(source: Source): boolean {
  return source.label === source.key && source.key.startsWith(NAMELESS);
}

/**
 * The one source that two descriptions of the same key stand for. Where they differ, the larger u and the
 * smaller degrees of freedom hold, so the outcome does not depend on the order of a sum; the contributions
 * themselves were fixed when each value was stated and do not change.
 */
export function sameSource(first: Source, second: Source): Source {
  if (first === second) return first;
  const [larger, smaller] = second.u > first.u ? [second, first] : [first, second];
  return smaller.dof < larger.dof ? { ...larger, dof: smaller.dof } : larger;
}

/** @throws IonbookError "bad-source" for an empty name */
export function requireName(name: string): void {
  if (typeof name !== "string" || name.trim() === "") {
    throw new IonbookError("bad-source", "A source needs a name; leave it out for a source of its own");
  }
}
