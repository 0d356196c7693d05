import type { FoundUnit } from "./signal-units.js";

/** What a reader takes out of a file, whatever its format. */
export interface RawRecord {
  /** min */
  readonly time: Float64Array;
  /** µS/cm for conductivity, else in the file's own unit. */
  readonly signal: Float64Array;
  readonly timeUnit: FoundUnit;
  readonly signalUnit: FoundUnit;
  /** Step of the digits the times were written with, min; 0 where they are computed. */
  readonly timeResolution: number;
  /** What the reader saw that a person should know. */
  readonly remarks: readonly string[];
}
