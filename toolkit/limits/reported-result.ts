import type { MeasuredValue } from "../uncertainty/measured.js";
import { requireFigures, requireMeasured } from "./require-figures.js";

/** What decides how a result is printed; all in the unit of the value. */
export interface ReportingLimits {
  /** A value below it is not detected. */
  readonly criticalValue: number;
  /** What is printed for what was not detected. */
  readonly detectionLimit: number;
  /** From here on a value is printed with its uncertainty alone. */
  readonly quantificationLimit: number;
  /** Chosen by contract: below it "< RL" is printed, whatever was found. */
  readonly reportingLimit?: number | undefined;
}

/** A result as it may be printed. */
export interface ReportedResult {
  /** "< 0.042", "0.0031 J", "0.0148 ± 0.0030" */
  readonly text: string;
  /** "ND" not detected, "J" detected below the quantification limit, "" quantified. */
  readonly qualifier: "ND" | "J" | "";
  /** The limit behind "<". */
  readonly below: "detection limit" | "reporting limit" | undefined;
  /** Whether something was detected, though "< RL" is printed. */
  readonly detectedBelowReporting: boolean;
  /** Expanded uncertainty (95 %) of the value, kept whatever is printed. */
  readonly expanded: number;
}

const CALL =
  'reportedResult(measured(0.0031, "mg/L", { u: 0.0005 }), { criticalValue: 0.0021, detectionLimit: 0.0042, quantificationLimit: 0.011 })';

/**
 * How a result is printed by its limits; the value and its u are kept beside it, negative ones too.
 *
 *     value < x_C           "< x_D", never "0" and never "< x_C"
 *     x_C ≤ value < x_Q     the value with J: detected below the quantification limit
 *     x_Q ≤ value           value ± U (95 %)
 *     value < RL            "< RL", where a contract sets a reporting limit
 *
 * Limits are rounded up to two figures. All in the unit of the value.
 * @throws IonbookError "bad-option"
 * @source rules 1 to 5 and 10 of result reporting (common practice, no source)
 */
export function reportedResult(value: MeasuredValue, limits: ReportingLimits): ReportedResult {
  requireMeasured(value, "reportedResult", CALL);
  requireFigures(limits, "reportedResult", ["criticalValue", "detectionLimit", "quantificationLimit"], CALL);
  const { criticalValue, detectionLimit, quantificationLimit, reportingLimit } = limits;
  const { low, high } = value.interval();
  const expanded = (high - low) / 2;
  const detected = value.value >= criticalValue;
  const qualifier = !detected ? "ND" : value.value < quantificationLimit ? "J" : "";
  if (reportingLimit !== undefined && value.value < reportingLimit) {
    const text = `< ${limitText(reportingLimit)}`;
    return { text, qualifier, below: "reporting limit", detectedBelowReporting: detected, expanded };
  }
  const kept = { qualifier, detectedBelowReporting: false, expanded } as const;
  if (!detected) return { ...kept, text: `< ${limitText(detectionLimit)}`, below: "detection limit" };
  const [number, uncertainty] = roundedPair(value.value, expanded);
  const text =
    qualifier === "J" ? `${number} J` : `${number}${uncertainty === "" ? "" : ` ± ${uncertainty}`}`;
  return { ...kept, text, below: undefined };
}

/** A limit rounded up to two significant figures, so that it never promises more than it keeps. */
export function roundedUp(limit: number): number {
  if (!(limit > 0) || !Number.isFinite(limit)) return limit;
  const place = 1 - Math.floor(Math.log10(limit));
  const scaled = place >= 0 ? limit * 10 ** place : limit / 10 ** -place;
  // A limit that is 0.021 but for rounding stays 0.021.
  const up = Math.ceil(scaled - 1e-9);
  return place >= 0 ? up / 10 ** place : up * 10 ** -place;
}

/** `roundedUp` as text with both figures: 0.0020, 0.042, 1.0, 130. */
export function limitText(limit: number): string {
  const up = roundedUp(limit);
  if (!(up > 0) || !Number.isFinite(up)) return String(up);
  const decimals = 1 - Math.floor(Math.log10(up) + 1e-12);
  if (decimals > 8) return up.toExponential(1);
  return up.toFixed(Math.max(0, decimals));
}

/** Value and expanded uncertainty, both ending at the second figure of the uncertainty. */
function roundedPair(value: number, expanded: number): readonly [string, string] {
  if (!(expanded > 0) || !Number.isFinite(expanded)) return [value.toPrecision(4), ""];
  const place = 1 - Math.floor(Math.log10(Number(expanded.toPrecision(2))) + 1e-12);
  if (place < 0) {
    const step = 10 ** -place;
    return [String(Math.round(value / step) * step), String(Math.round(expanded / step) * step)];
  }
  return [value.toFixed(Math.min(place, 12)), expanded.toFixed(Math.min(place, 12))];
}
