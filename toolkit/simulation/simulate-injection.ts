import { childSeed, createRandom, type Random } from "../numeric/random.js";
import { predictPeak } from "../separation/peak-width.js";
import { baselineSignal } from "./baseline-signal.js";
import { cellSolute } from "./cell-solute.js";
import { type Band, elutionProfile, type TimeGrid } from "./elution-profile.js";
import { applyLag, exponentialLag } from "./exponential-lag.js";
import type { ColumnSolute, Instrument } from "./instrument.js";
import type { RunState } from "./instrument-drift.js";
import { type Contribution, Mixture } from "./mixture.js";
import { addNoise } from "./noise.js";

/** What one injection brings onto the column. */
export interface Injected {
  readonly solutes: readonly { readonly solute: ColumnSolute; readonly nanomoles: number }[];
  /** Carbonic acid that reaches the cell, nmol. */
  readonly carbonicNanomoles: number;
}

/** One peak as it truly is. */
export interface TruePeak {
  readonly ion: string;
  readonly nanomoles: number;
  readonly band: Band;
  /** Top of the peak, min. */
  readonly apex: number;
  /** µS/cm·min: what the ion adds to the signal, all others being there. */
  readonly area: number;
  /** µS/cm at the apex. */
  readonly height: number;
}

export interface SimulatedInjection {
  /** As recorded: with noise, in whole steps of the digitiser, µS/cm. */
  readonly signal: Float64Array;
  /** Without noise and ions: background, rise, wander, drift, dip and carbonate, µS/cm. */
  readonly baseline: Float64Array;
  readonly peaks: readonly TruePeak[];
  /** Where the water dip and the carbonate peak are, min. */
  readonly systemPeaks: readonly { readonly type: "water dip" | "carbonate"; readonly time: number }[];
}

/** Time constant of the detector, s. */
const DETECTOR_LAG = 0.5;
/** Spread of log₁₀ k from injection to injection. */
const RETENTION_JITTER = 0.0006;
/** Shift of a neighbour within 6σ by an overloaded ion, in σ per unit of overload. */
const NEIGHBOR_SHIFT = 0.05;

/**
 * One injection through the whole chain: retention and width of each band, overload, profile in time at the cell,
 * ionic equilibrium point by point with all ions and carbonic acid together, baseline, noise, digitiser.
 *
 * @param seed of this injection; every stage and ion draws from its own child of it
 * @source the chain is our own; each link names its source
 */
export function simulateInjection(
  instrument: Instrument,
  injected: Injected,
  state: RunState,
  seed: string,
): SimulatedInjection {
  const stream = (...stage: string[]): Random => createRandom(childSeed(seed, ...stage));
  const grid = gridOf(instrument);
  const present = injected.solutes.filter(({ nanomoles }) => nanomoles > 0);
  const bands = shiftNeighbors(
    present.map(({ solute, nanomoles }) =>
      bandOf(instrument, solute, nanomoles, state, stream("retention", solute.ion)),
    ),
  );
  const carbonateBand = bandOfCarbonate(instrument, state, stream("retention", "carbonate"));
  const mixture = new Mixture(
    present.map(({ solute, nanomoles }, i) => ({
      solute: cellSolute(solute.ion),
      profile: scale(elutionProfile(bands[i], grid), molesPerFlow(instrument, state, nanomoles)),
    })),
    instrument.background,
    carbonateBand
      ? scale(
          elutionProfile(carbonateBand, grid),
          molesPerFlow(instrument, state, injected.carbonicNanomoles),
        )
      : new Float64Array(grid.length),
  );
  const holdUpTime = timesAt(instrument, state).holdUpTime;
  const drawn = baselineSignal(instrument, holdUpTime, grid, stream);
  const lag = exponentialLag(DETECTOR_LAG, grid.step);
  const all = mixture.conductivity();
  return {
    signal: record(instrument, sum(applyLag(lag, all), drawn), stream),
    baseline: sum(applyLag(lag, mixture.conductivityOfBackground()), drawn),
    peaks: bands.map((band, i) => truePeak(present[i], band, mixture.contribution(i, all), grid)),
    systemPeaks: [
      { type: "water dip", time: holdUpTime },
      ...(carbonateBand ? [{ type: "carbonate" as const, time: carbonateBand.center / 60 }] : []),
    ],
  };
}

function gridOf({ samplingRate, runTime }: Instrument): TimeGrid {
  return { step: 1 / samplingRate, length: Math.round(60 * runTime * samplingRate) };
}

/** The signal as the detector hands it over: bent, with its noise, in whole steps of the digitiser. */
function record(
  { noise, samplingRate, leastBit, detectorBend = Infinity }: Instrument,
  signal: Float64Array,
  stream: (stage: string) => Random,
): Float64Array {
  const noisy = signal.map((y) => y / Math.hypot(1, y / detectorBend));
  addNoise(noisy, 1 / samplingRate, noise, {
    white: stream("white"),
    pink: stream("pink"),
    pulsation: stream("pulsation"),
  });
  return noisy.map((y) => Math.round(y / leastBit) * leastBit);
}

function bandOf(
  instrument: Instrument,
  solute: ColumnSolute,
  nanomoles: number,
  state: RunState,
  random: Random,
): Band {
  const a =
    solute.a +
    solute.temperatureSlope * state.temperature +
    solute.b * Math.log10(state.capacity / (1 + state.eluent)) +
    RETENTION_JITTER * random.normal();
  const times = timesAt(instrument, state);
  const { retentionTime, sigma } = predictPeak(
    { a, b: solute.b, plates: solute.plates },
    instrument.program,
    times,
  );
  return {
    center: 60 * retentionTime,
    sigma: 60 * sigma,
    tau: 60 * solute.tailing * sigma,
    overload: (solute.overload * nanomoles) / 1000,
  };
}

function timesAt(
  { holdUpTime, dwellTime }: Instrument,
  { flow }: RunState,
): { holdUpTime: number; dwellTime: number } {
  return { holdUpTime: holdUpTime * (1 - flow), dwellTime: dwellTime * (1 - flow) };
}

/** An overloaded ion takes sites from its neighbours, so those within 6σ leave a little earlier. */
function shiftNeighbors(bands: readonly Band[]): readonly Band[] {
  return bands.map((band) => {
    let shift = 0;
    for (const other of bands) {
      if (other !== band && Math.abs(other.center - band.center) < 6 * band.sigma)
        shift += NEIGHBOR_SHIFT * other.overload;
    }
    return { ...band, center: band.center - shift * band.sigma };
  });
}

function bandOfCarbonate(
  { carbonate, ...instrument }: Instrument,
  state: RunState,
  random: Random,
): Band | undefined {
  if (!carbonate) return undefined;
  return bandOf(
    instrument,
    { ...carbonate, ion: "carbonate", overload: 0, temperatureSlope: 0 },
    0,
    state,
    random,
  );
}

/** Amount over flow: turns a profile of area 1 (1/s) into mol/L at the cell. */
function molesPerFlow({ flow }: Instrument, state: RunState, nanomoles: number): number {
  const litersPerSecond = (flow * (1 + state.flow)) / 60_000;
  return (nanomoles * 1e-9) / litersPerSecond;
}

function truePeak(
  { solute, nanomoles }: Injected["solutes"][number],
  band: Band,
  { total, height, top }: Contribution,
  { step }: TimeGrid,
): TruePeak {
  return { ion: solute.ion, nanomoles, band, apex: (top * step) / 60, area: (total * step) / 60, height };
}

function scale(values: Float64Array, factor: number): Float64Array {
  for (let i = 0; i < values.length; i++) values[i] *= factor;
  return values;
}

function sum(first: Float64Array, second: Float64Array): Float64Array {
  return first.map((y, i) => y + second[i]);
}
