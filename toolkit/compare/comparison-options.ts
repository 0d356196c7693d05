import { IonbookError } from "../errors.js";
import type { OneVisit } from "./mean-contrast.js";
import type { Series } from "./series.js";
import type { SeriesDesign } from "./series-comparison.js";

/** What every comparison of series may be told. */
export interface ComparisonOptions {
  /**
   * First moment that counts as "after", "2026-03-01" or "2026-03-01T12:00".
   * @default the visits' own period, before or after
   */
  readonly change?: string;
  /** Level of confidence of intervals and verdict. @default 0.95 */
  readonly level?: number;
  /** Probability with which the smallest difference shall be found. @default 0.8 */
  readonly power?: number;
  /** Largest effect that would not matter, in the unit of the series, set beforehand: asks for a test of equivalence. */
  readonly margin?: number;
  /** What becomes of days on which only one of the places was visited. @default "refuse" */
  readonly unpaired?: "refuse" | "leave out";
  /** What becomes of a period with a single visit. @default "refuse" */
  readonly oneVisit?: OneVisit;
}

export interface TwoPlaceOptions extends ComparisonOptions {
  readonly design: "before-after-control" | "paired" | "independent";
}

export interface OnePlaceOptions extends ComparisonOptions {
  readonly design: "before-after";
}

/** The options of any design. */
export type AnyDesignOptions = ComparisonOptions & { readonly design: SeriesDesign };

/** @throws IonbookError "unknown-design" without options, "bad-level", "bad-power" */
export function requireOptions(options: AnyDesignOptions | undefined): AnyDesignOptions {
  if (options === undefined) {
    throw new IonbookError(
      "unknown-design",
      'A comparison of two series needs its design: compareSeries(treated, control, { design: "before-after-control" })',
    );
  }
  const { level = 0.95, power = 0.8 } = options;
  if (!(level > 0 && level < 1)) {
    throw new IonbookError("bad-level", `The level is ${level}; write 0.95 for 95 %`);
  }
  if (!(power >= 0.5 && power < 1)) {
    throw new IonbookError("bad-power", `The power is ${power}; it must be at least 0.5 and below 1`);
  }
  return options;
}

/** @throws IonbookError "not-a-series", and "unknown-design" for a call with nothing but a series */
export function requireSeries(treated: unknown, second: unknown): void {
  if (typeof treated !== "object" || treated === null || !("visits" in treated)) {
    throw new IonbookError(
      "not-a-series",
      'compareSeries needs series of one ion at one place, not bare numbers: found.series("well 3", "chloride") ' +
        "or makeSeries({ place, ion, unit, visits })",
    );
  }
  if (typeof second === "object" && second !== null) return;
  throw new IonbookError(
    "unknown-design",
    "One series is compared before and after a change: " +
      'compareSeries(series, { design: "before-after", change: "2026-03-01" })',
  );
}

/** @throws IonbookError "unknown-design", "missing-control", "ion-mismatch", "unit-mismatch" */
export function requireFit(treated: Series, control: Series | undefined, design: SeriesDesign): void {
  const known: readonly string[] = ["before-after-control", "before-after", "paired", "independent"];
  if (!known.includes(design)) {
    throw new IonbookError("unknown-design", `"${design}" is no design; choose one of ${known.join(", ")}`);
  }
  if (control === undefined) {
    if (design === "before-after") return;
    throw new IonbookError(
      "missing-control",
      `The design "${design}" needs two series: compareSeries(treated, control, { design: "${design}" })`,
    );
  }
  if (design === "before-after") {
    throw new IonbookError(
      "unknown-design",
      'The design "before-after" takes one series; for two of them choose "before-after-control"',
    );
  }
  if (treated.ion !== control.ion) {
    throw new IonbookError(
      "ion-mismatch",
      `The series are of ${treated.ion} and of ${control.ion}; compare one ion`,
    );
  }
  if (treated.unit !== control.unit) {
    throw new IonbookError(
      "unit-mismatch",
      `${treated.place} is in "${treated.unit}" and ${control.place} in "${control.unit}"; convert one of them first`,
    );
  }
}
