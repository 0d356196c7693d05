import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import type { MeasuredValue } from "../uncertainty/measured.js";

/** One sample of a place, with the result of one ion. */
export interface Visit {
  readonly sample: string;
  /** When it was taken: an ISO date, "2026-02-14" or "2026-02-14T09:30"; undefined where nobody wrote it down. */
  readonly collectedAt: string | undefined;
  /** "before" or "after" a change, where the sample list says so. */
  readonly period: string | undefined;
  /** In the unit of the series; undefined only where not measured. Below the critical value it is the raw value. */
  readonly value: MeasuredValue | undefined;
  /** "quantified", "below quantification", "not detected", "above range" or "not measured". */
  readonly status: string;
  /** In the unit of the series. */
  readonly detectionLimit: number | undefined;
}

/** The results of one ion at one place, in the order of time. */
export interface Series {
  readonly kind: "series";
  readonly place: string;
  readonly ion: string;
  readonly unit: string;
  readonly visits: readonly Visit[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

export interface SeriesParts {
  readonly place: string;
  readonly ion: string;
  readonly unit: string;
  /** In any order. */
  readonly visits: readonly Visit[];
}

/**
 * The results of one ion at one place, sorted by time; visits without a date stand last, in the order given.
 *
 * @throws IonbookError "unit-mismatch" where a value is not in the unit of the series
 */
export function makeSeries(parts: SeriesParts): Series {
  for (const { sample, value } of parts.visits) {
    if (value !== undefined && value.unit !== parts.unit) {
      throw new IonbookError(
        "unit-mismatch",
        `${parts.ion} in "${sample}" is in "${value.unit}" and the series of ${parts.place} in "${parts.unit}"; convert it first`,
      );
    }
  }
  const visits = parts.visits.toSorted((a, b) => order(a.collectedAt) - order(b.collectedAt) || 0);
  return new PlaceSeries({ ...parts, visits });
}

function order(collectedAt: string | undefined): number {
  const time = collectedAt === undefined ? Number.NaN : Date.parse(collectedAt);
  // Infinity − Infinity would be NaN, which a sort takes for "equal" only by accident.
  return Number.isNaN(time) ? Number.MAX_VALUE : time;
}

class PlaceSeries implements Series {
  readonly kind = "series";
  readonly place: string;
  readonly ion: string;
  readonly unit: string;
  readonly visits: readonly Visit[];

  constructor(parts: SeriesParts) {
    this.place = parts.place;
    this.ion = parts.ion;
    this.unit = parts.unit;
    this.visits = parts.visits;
  }

  toString(): string {
    const count = this.visits.length;
    const lines = this.visits.map((visit) => `  ${visitLine(visit)}`);
    return [`${this.ion} at ${this.place}, ${count} ${count === 1 ? "sample" : "samples"}`, ...lines].join(
      "\n",
    );
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}

function visitLine({ collectedAt, period, sample, value, status }: Visit): string {
  const when = collectedAt?.slice(0, 10) ?? "no date";
  const which = period === undefined ? "" : ` (${period})`;
  const state = status === "quantified" ? "" : `, ${status}`;
  return `${when}${which}  ${sample}: ${value === undefined ? status : `${value}${state}`}`;
}
