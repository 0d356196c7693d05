import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import type { Chromatogram } from "./chromatogram.js";
import { requireReadings } from "./require-chromatogram.js";

/** What a chromatogram is made of. */
export interface ChromatogramParts {
  readonly id: string;
  /** min, increasing */
  readonly time: ArrayLike<number>;
  /** As many readings as times. */
  readonly signal: ArrayLike<number>;
  /** @default "µS/cm" */
  readonly signalUnit?: string;
  readonly channel?: "anion" | "cation";
  readonly notes?: readonly string[];
  readonly source?: string;
}

/**
 * A chromatogram made of readings that were checked: as many signals as times (at least two), all of them
 * finite, time increasing from point to point. A `Float64Array` is kept as it is, anything else is copied.
 * Time in min; signal in `signalUnit`, µS/cm where none is given. O(n).
 *
 * @throws IonbookError `missing-readings`, `length-mismatch`, `too-few-points`, `not-finite`, `time-not-increasing`
 */
export function makeChromatogram(parts: ChromatogramParts): Chromatogram {
  if (!parts?.time || !parts.signal) {
    throw new IonbookError(
      "missing-readings",
      'a chromatogram needs its times and its signal: makeChromatogram({ id: "A001", time, signal }), time in min',
    );
  }
  const time = asFloat64(parts.time);
  const signal = asFloat64(parts.signal);
  requireReadings(parts.id, time, signal);
  const signalUnit = parts.signalUnit ?? "µS/cm";
  return {
    kind: "chromatogram",
    id: parts.id,
    time,
    signal,
    signalUnit,
    ...(parts.channel === undefined ? {} : { channel: parts.channel }),
    notes: [...(parts.notes ?? [])],
    ...(parts.source === undefined ? {} : { source: parts.source }),
    toString: () => describe(parts.id, time, signal, signalUnit),
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  } as Chromatogram;
}

function asFloat64(values: ArrayLike<number>): Float64Array {
  return values instanceof Float64Array ? values : Float64Array.from(values);
}

function describe(id: string, time: Float64Array, signal: Float64Array, unit: string): string {
  let low = signal[0];
  let high = signal[0];
  for (const y of signal) {
    if (y < low) low = y;
    if (y > high) high = y;
  }
  const last = time[time.length - 1];
  return (
    `chromatogram ${id}: ${time.length} points, ${round(time[0])} to ${round(last)} min, ` +
    `${round(low)} to ${round(high)} ${unit}`
  );
}

function round(value: number): string {
  return String(Number(value.toPrecision(4)));
}
