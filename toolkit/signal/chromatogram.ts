/** One recorded trace. Time in minutes, increasing; conductivity in µS/cm. */
export interface Chromatogram {
  readonly kind: "chromatogram";
  readonly id: string;
  /** min */
  readonly time: Float64Array;
  readonly signal: Float64Array;
  /** "µS/cm" for conductivity (the reader converts), else the unit of the file. */
  readonly signalUnit: string;
  readonly channel?: "anion" | "cation";
  /** What the reader converted or noticed ("time given in s, converted to min"). */
  readonly notes: readonly string[];
  /** File it came from, relative or absolute as given. */
  readonly source?: string;
  toString(): string;
}
