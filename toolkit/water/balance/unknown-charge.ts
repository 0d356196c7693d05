import { IonbookError } from "../../errors.js";
import {
  combineLinear,
  exactly,
  isMeasuredValue,
  type MeasuredValue,
  minus,
  propagate,
} from "../../uncertainty/measured.js";

/**
 * Charge of unidentified anions, meq/L. A plain value is counted as it is; `lowerBound` says "at least": a weak acid shows
 * only the part of its charge that is dissociated at the detector; `low` and `high` are the ends of what is possible.
 */
export type UnknownCharge =
  | number
  | MeasuredValue
  | { readonly lowerBound: number | MeasuredValue }
  | { readonly low: number | MeasuredValue; readonly high: number | MeasuredValue };

/** A charge between two ends, meq/L. */
export interface BoundedCharge {
  readonly from: MeasuredValue;
  /** The same as `from` for a plain value; undefined where the charge has no upper end. */
  readonly to: MeasuredValue | undefined;
}

/** A balance with the unidentified anions counted, as far as they are known. */
export interface DifferenceWithUnknowns {
  readonly unknown: BoundedCharge;
  /** Cations − anions − unknowns at the least unknown charge, meq/L: the difference is at most this. */
  readonly atMost: MeasuredValue;
  /** The same at the greatest unknown charge; undefined where it is open: then the difference may be any smaller. */
  readonly atLeast: MeasuredValue | undefined;
  /** 100·(C − A − N)/(C + A + N) at the least unknown charge, %. */
  readonly percentAtMost: MeasuredValue;
  readonly percentAtLeast: MeasuredValue | undefined;
  /** Where the difference lies, meq/L: 95 % coverage beyond both ends, −Infinity at an open end. */
  readonly interval: { readonly low: number; readonly high: number };
  /**
   * "closes" where zero is reached within two standard uncertainties at the least unknown charge; "may close" where only more
   * unknown charge, within its bounds, would reach it; "does not close" otherwise.
   */
  readonly verdict: "closes" | "may close" | "does not close";
}

/** Without uncertainties a balance counts as closed within this part of both sums. */
const CLOSED_PERCENT = 2;
const COVERED = 2;

/**
 * What is said of unidentified anions, as an interval in meq/L.
 *
 * @throws IonbookError "bad-unknown-charge" for a charge that is no number, negative, or whose ends are reversed;
 *   "unit-mismatch" for a measured value in another unit than one of charge
 */
export function readUnknownCharge(given: UnknownCharge): BoundedCharge {
  if (typeof given === "number" || isMeasuredValue(given)) {
    const from = readCharge(given, "unknownAnions");
    return { from, to: from };
  }
  if (typeof given === "object" && given !== null) {
    if ("lowerBound" in given)
      return { from: readCharge(given.lowerBound, "unknownAnions.lowerBound"), to: undefined };
    if ("low" in given && "high" in given) {
      const from = readCharge(given.low, "unknownAnions.low");
      const to = readCharge(given.high, "unknownAnions.high");
      if (to.value >= from.value) return { from, to };
      throw new IonbookError(
        "bad-unknown-charge",
        `the charge of unidentified anions cannot reach from ${from.value} down to ${to.value} meq/L: low comes first`,
      );
    }
  }
  throw new IonbookError(
    "bad-unknown-charge",
    "the charge of unidentified anions is given in meq/L: a number, a measured value, { lowerBound: 0.05 } or { low: 0.05, high: 0.2 }",
  );
}

function readCharge(given: number | MeasuredValue, name: string): MeasuredValue {
  const value = typeof given === "number" && Number.isFinite(given) ? exactly(given, "meq/L") : given;
  if (!isMeasuredValue(value)) {
    throw new IonbookError(
      "bad-unknown-charge",
      `${name} is ${String(given)}; give a number in meq/L or a measured value`,
    );
  }
  if (value.value < 0) {
    throw new IonbookError(
      "bad-unknown-charge",
      `${name} is ${value.value} meq/L; a charge is counted from 0 up`,
    );
  }
  if (value.unit === "meq/L") return value;
  if (/^[µμu]eq\/L$/.test(value.unit)) return combineLinear([{ value, factor: 1e-3 }], "meq/L");
  throw new IonbookError(
    "unit-mismatch",
    `${name} is given in "${value.unit}"; charge is counted in meq/L or µeq/L`,
  );
}

/** The balance at both ends of the unknown charge. */
export function withUnknownCharge(
  cations: MeasuredValue,
  anions: MeasuredValue,
  unknown: BoundedCharge,
): DifferenceWithUnknowns {
  const at = (charge: MeasuredValue) => minus(minus(cations, anions), charge);
  const percent = (charge: MeasuredValue) =>
    propagate(({ C, A, N }) => (100 * (C - A - N)) / (C + A + N), { C: cations, A: anions, N: charge }, "%");
  const { from, to } = unknown;
  const atMost = at(from);
  const atLeast = to === undefined ? undefined : to === from ? atMost : at(to);
  const total = cations.value + anions.value + from.value;
  return {
    unknown,
    atMost,
    atLeast,
    percentAtMost: percent(from),
    percentAtLeast: to === undefined ? undefined : percent(to),
    interval: {
      low: atLeast === undefined ? Number.NEGATIVE_INFINITY : atLeast.interval().low,
      high: atMost.interval().high,
    },
    verdict: verdictOf(atMost, atLeast, (CLOSED_PERCENT / 100) * total),
  };
}

function verdictOf(
  atMost: MeasuredValue,
  atLeast: MeasuredValue | undefined,
  closed: number,
): DifferenceWithUnknowns["verdict"] {
  const reach = (value: MeasuredValue): number => (value.u > 0 ? COVERED * value.u : closed);
  if (atMost.value < -reach(atMost)) return "does not close";
  if (atMost.value <= reach(atMost)) return "closes";
  if (atLeast === undefined) return "may close";
  return atLeast.value <= reach(atLeast) ? "may close" : "does not close";
}
