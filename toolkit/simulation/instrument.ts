import type { EluentProgram } from "../separation/eluent-program.js";
import type { ColumnIon } from "../separation/peak-width.js";
import type { CellBackground } from "./conductivity-cell.js";

/** An ion on the simulated column. All numbers of a column are invented; only the cell's chemistry is real. */
export interface ColumnSolute extends ColumnIon {
  readonly ion: string;
  /** Time constant of the exponential tail over σ. */
  readonly tailing: number;
  /** Overload of the band per µmol injected. */
  readonly overload: number;
  /** Change of log₁₀ k per K. */
  readonly temperatureSlope: number;
}

/** Carbonic acid of the samples, as it comes through the column and the carbonate trap in front of the cell. */
export interface CarbonatePeak extends ColumnIon {
  readonly tailing: number;
  /** Share of the injected carbonate that passes the trap. */
  readonly passing: number;
  /** Carbonic acid picked up by every injection, blank or not, nmol at the cell. */
  readonly pickedUp: number;
}

/** Noise of the detector, µS/cm. */
export interface NoiseLevels {
  /** Standard deviation of the white part. */
  readonly white: number;
  /** Standard deviation of the 1/f part. */
  readonly pink: number;
  /** Amplitude of the pump's pulsation. */
  readonly pulsation: number;
}

/** A chromatograph with suppressed conductivity detection. */
export interface Instrument {
  readonly channel: "anion" | "cation";
  readonly eluent: string;
  /** min, mmol/L */
  readonly program: EluentProgram;
  /** mL/min */
  readonly flow: number;
  /** µL */
  readonly loop: number;
  /** min */
  readonly holdUpTime: number;
  /** min */
  readonly dwellTime: number;
  /** min */
  readonly runTime: number;
  /** Hz */
  readonly samplingRate: number;
  readonly background: CellBackground;
  /** Rise of the background with the eluent, µS/cm per mmol/L. */
  readonly gradientRise: number;
  /** Depth of the water dip, µS/cm. */
  readonly waterDip: number;
  /** Standard deviation of the slow wander, µS/cm. */
  readonly wander: number;
  /** Linear drift, µS/cm per min (standard deviation over the injections). */
  readonly drift: number;
  readonly noise: NoiseLevels;
  /** Where the detector bends: it shows y/√(1 + (y/bend)²) of a conductivity y, µS/cm. @default never */
  readonly detectorBend?: number;
  /** Smallest step of the digitised signal, µS/cm. */
  readonly leastBit: number;
  /** Relative standard deviation of the injected volume. */
  readonly injectionError: number;
  /** Share of an injection found in the next one. */
  readonly carryOver: number;
  readonly carbonate?: CarbonatePeak;
}
