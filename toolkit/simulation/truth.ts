import type { SimulatedInjection } from "./simulate-injection.js";

/** Version of the generator: raised whenever the same scenario and seed give another batch. */
export const SIMULATION_VERSION = "1";

/** One sample as it truly is. */
export interface TrueSample {
  readonly sample: string;
  readonly unit: string;
  /** By ion of either method and `notMeasured`, in `unit`; exactly 0 where absent. */
  readonly concentrations: Readonly<Record<string, number>>;
  /** Ions present that are in no method. */
  readonly unknowns: readonly {
    readonly ion: string;
    readonly channel: "anion" | "cation";
    readonly concentration: number;
    /** µeq/L of the sample (of an extract µeq per kg of the solid), by the ion's full charge. */
    readonly microequivalentsPerLiter: number;
  }[];
  /** Charge on polymers that leave no column as a peak, meq/L or, of an extract, meq per kg of the solid. */
  readonly polyanions?: number;
  readonly pH?: number;
  /** mg/L as CaCO3, of an extract as titrated: of all its bases */
  readonly alkalinity?: number;
  /** µS/cm, 25 °C */
  readonly conductivity?: number;
}

export interface TrueInjection {
  readonly injection: string;
  readonly kind: string;
  readonly solution: string;
  /** True dilution factor. */
  readonly dilution: number;
  /** Injected volume over nominal volume. */
  readonly volumeFactor: number;
  readonly peaks: readonly {
    readonly ion: string;
    readonly nanomoles: number;
    /** min */
    readonly retentionTime: number;
    /** min */
    readonly sigma: number;
    readonly overload: number;
    /** µS/cm·min */
    readonly area: number;
    /** µS/cm */
    readonly height: number;
  }[];
  readonly systemPeaks: SimulatedInjection["systemPeaks"];
}

export interface TrueChannel {
  readonly channel: "anion" | "cation";
  readonly folder: string;
  /** mg/L of each ion in each standard, as it really came out. */
  readonly solutions: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly injections: readonly TrueInjection[];
}

/** Everything a simulated batch was made from: lies beside the raw data, never inside. */
export interface Truth {
  readonly schema: "ionbook-simulation-truth-1";
  readonly generator: string;
  readonly invented: true;
  readonly scenario: string;
  readonly seed: number | string;
  readonly answer: Readonly<Record<string, number>>;
  readonly samples: readonly TrueSample[];
  readonly channels: readonly TrueChannel[];
}

/** A number rounded to six significant digits, enough for a record that people read. */
export function sixDigits(value: number): number {
  return Number(value.toPrecision(6));
}

/** What is lower than this is no peak in the record, µS/cm: carry-over far below the noise. */
const LEAST_HEIGHT = 1e-5;

/** The record of one injection, from what was simulated. */
export function trueInjection(
  about: Pick<TrueInjection, "injection" | "kind" | "solution" | "dilution" | "volumeFactor">,
  { peaks, systemPeaks }: SimulatedInjection,
): TrueInjection {
  return {
    injection: about.injection,
    kind: about.kind,
    solution: about.solution,
    dilution: sixDigits(about.dilution),
    volumeFactor: sixDigits(about.volumeFactor),
    peaks: peaks
      .filter(({ height }) => height >= LEAST_HEIGHT)
      .map(({ ion, nanomoles, band, apex, area, height }) => ({
        ion,
        nanomoles: sixDigits(nanomoles),
        retentionTime: sixDigits(apex),
        sigma: sixDigits(band.sigma / 60),
        overload: sixDigits(band.overload),
        area: sixDigits(area),
        height: sixDigits(height),
      })),
    systemPeaks: systemPeaks.map(({ type, time }) => ({ type, time: sixDigits(time) })),
  };
}
