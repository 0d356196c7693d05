import { ion } from "../../../toolkit/ions/ion-table.js";
import { childSeed, createRandom, type Random } from "../../../toolkit/numeric/random.js";
import { predictPeak } from "../../../toolkit/separation/peak-width.js";
import { baselineSignal } from "../../../toolkit/simulation/baseline-signal.js";
import { cellSolute } from "../../../toolkit/simulation/cell-solute.js";
import type { Band, TimeGrid } from "../../../toolkit/simulation/elution-profile.js";
import { applyLag, exponentialLag } from "../../../toolkit/simulation/exponential-lag.js";
import type { ColumnSolute } from "../../../toolkit/simulation/instrument.js";
import { instrumentDrift, type RunState } from "../../../toolkit/simulation/instrument-drift.js";
import { type CellPart, cellSignals } from "./cell-signals.js";
import { COLUMNS, type Column } from "./columns.js";
import { noiseOf, recordOf } from "./detector.js";
import type { NoiseKind, Scene, SceneRun, TailForm } from "./scene.js";
import { bandProfile } from "./tail-forms.js";
import { type Part, truthOf } from "./truth-of.js";

/** Six levels over three decades. */
const LEVELS = [1, 0.25, 0.063, 0.016, 0.004, 0.001] as const;
const DETECTOR_LAG = 0.5;
/** Scatter of log₁₀ k from run to run. */
const RETENTION_JITTER = 0.0006;
/** Shift of a neighbour within 6 σ by an overloaded ion, in σ per unit of overload. */
const NEIGHBOR_SHIFT = 0.05;
/** Relative scatter of the carbonic acid that every injection picks up. */
const CARBONIC_SCATTER = 0.1;
/** Every second sample holds a substance of no method, of 10 to 300 times the white noise. */
const STRANGER = { least: 0.005, most: 0.15 };

interface Injected {
  readonly solute: ColumnSolute;
  readonly milligrams: number;
  readonly stranger: boolean;
}

/** A day of one column: blanks, six standards, samples; through retention, overload, tail and ionic equilibrium. */
export function gradientScene(
  family: Column["family"],
  seed: number,
  noise: NoiseKind,
  tail: TailForm,
  samples: number,
  blanks = 3,
  levels: number = LEVELS.length,
  repeats = 0,
): Scene {
  const column = COLUMNS[family];
  const name = `${family}, ${noise}, ${tail}, seed ${seed}`;
  const stream = (...stage: string[]) =>
    createRandom(childSeed("scenes", seed, family, noise, tail, ...stage));
  const states = instrumentDrift(blanks + LEVELS.length + samples + repeats, stream("instrument"));
  const run = (id: string, injected: readonly Injected[], place: number): SceneRun =>
    injection(column, `${name}, ${id}`, injected, states[place], noise, tail, (...stage) =>
      stream(id, ...stage),
    );
  return {
    name,
    family,
    seed,
    noise,
    tail,
    blanks: Array.from({ length: blanks }, (_, k) => run(`blank ${k}`, [], k)),
    standards: [
      ...LEVELS.slice(0, levels).map((level, k) =>
        run(`standard ${level}`, standard(column, level), blanks + k),
      ),
      ...Array.from({ length: repeats }, (_, k) =>
        run(
          `standard ${LEVELS[0]} again ${k}`,
          standard(column, LEVELS[0]),
          blanks + LEVELS.length + samples + k,
        ),
      ),
    ],
    samples: Array.from({ length: samples }, (_, k) =>
      run(`sample ${k}`, sample(column, k, stream(`sample ${k}`, "amounts")), blanks + LEVELS.length + k),
    ),
    named: column.solutes.map((one) => ({ ion: one.ion, charge: ion(one.ion).charge })),
  };
}

function standard({ solutes, highest }: Column, level: number): readonly Injected[] {
  return solutes.map((solute) => ({ solute, milligrams: level * highest[solute.ion], stranger: false }));
}

function sample({ solutes, usual, strangers }: Column, number: number, random: Random): readonly Injected[] {
  const ions = solutes.map((solute) => ({
    solute,
    milligrams: usual[solute.ion] * 10 ** (random.uniform() - 0.5),
    stranger: false,
  }));
  const milligrams = STRANGER.least * (STRANGER.most / STRANGER.least) ** random.uniform();
  if (number % 2 === 0) return ions;
  return [...ions, { solute: strangers[(number >> 1) % strangers.length], milligrams, stranger: true }];
}

function injection(
  column: Column,
  id: string,
  injected: readonly Injected[],
  state: RunState,
  noise: NoiseKind,
  tail: TailForm,
  stream: (...stage: string[]) => Random,
): SceneRun {
  const { instrument } = column;
  const grid: TimeGrid = { step: 1 / instrument.samplingRate, length: 60 * instrument.runTime * 5 };
  const holdUpTime = instrument.holdUpTime * (1 - state.flow);
  const volume = 1 + instrument.injectionError * stream("volume").normal();
  const loads = injected.map(({ solute, milligrams }) => {
    // mg/L over g/mol in a loop of µL is nmol.
    const nanomoles = (volume * milligrams * instrument.loop) / ion(solute.ion).molarMass;
    return { nanomoles, band: bandOf(column, solute, nanomoles, state, stream("retention", solute.ion)) };
  });
  const bands = shiftNeighbors(loads.map(({ band }) => band));
  const litersPerSecond = (instrument.flow * (1 + state.flow)) / 60_000;
  const moles = (profile: Float64Array, nanomoles: number) =>
    profile.map((y) => (y * nanomoles * 1e-9) / litersPerSecond);
  const parts = injected.map(
    ({ solute }, i): CellPart => ({
      solute: cellSolute(solute.ion),
      profile: moles(bandProfile(bands[i], tail, grid), loads[i].nanomoles),
    }),
  );
  const carbonic = carbonicAcid(column, state, grid, stream, moles);
  const signals = cellSignals(parts, instrument.background, carbonic.profile);
  const lag = exponentialLag(DETECTOR_LAG, grid.step);
  const drawn = baselineSignal(instrument, holdUpTime, grid, stream);
  const clean = applyLag(lag, signals.all).map((y, i) => y + drawn[i]);
  const truths = injected.map(
    ({ solute, stranger }, i): Part => ({
      ion: solute.ion,
      kind: stranger ? "unknown" : "ion",
      band: bands[i],
      contribution: applyLag(lag, signals.contributions[i]),
    }),
  );
  const system: readonly Part[] =
    carbonic.band === undefined
      ? []
      : [{ ion: "carbonate", kind: "system", band: carbonic.band, contribution: signals.carbonic }];
  return {
    chromatogram: recordOf(id, clean, grid, noise, stream),
    truth: truthOf([...truths, ...system], { ...grid, dip: 60 * holdUpTime, noise: noiseOf(noise) }),
  };
}

function bandOf(
  { instrument }: Column,
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
  const { retentionTime, sigma } = predictPeak(
    { a, b: solute.b, plates: solute.plates },
    instrument.program,
    {
      holdUpTime: instrument.holdUpTime * (1 - state.flow),
      dwellTime: instrument.dwellTime * (1 - state.flow),
    },
  );
  return {
    center: 60 * retentionTime,
    sigma: 60 * sigma,
    tau: 60 * solute.tailing * sigma,
    overload: (solute.overload * nanomoles) / 1000,
  };
}

function carbonicAcid(
  column: Column,
  state: RunState,
  grid: TimeGrid,
  stream: (...stage: string[]) => Random,
  moles: (profile: Float64Array, nanomoles: number) => Float64Array,
): { readonly band: Band | undefined; readonly profile: Float64Array } {
  const { carbonate } = column.instrument;
  if (!carbonate) return { band: undefined, profile: new Float64Array(grid.length) };
  const solute = { ...carbonate, ion: "carbonate", overload: 0, temperatureSlope: -0.0012 };
  const band = bandOf(column, solute, 0, state, stream("retention", "carbonate"));
  const nanomoles = carbonate.pickedUp * (1 + CARBONIC_SCATTER * stream("carbonic acid").normal());
  return { band, profile: moles(bandProfile(band, "exponential", grid), nanomoles) };
}

/** An overloaded ion takes sites from its neighbours, so those within 6 σ leave a little earlier. */
function shiftNeighbors(bands: readonly Band[]): readonly Band[] {
  return bands.map((band) => {
    const shift = bands.reduce(
      (sum, other) =>
        other !== band && Math.abs(other.center - band.center) < 6 * band.sigma
          ? sum + NEIGHBOR_SHIFT * other.overload
          : sum,
      0,
    );
    return { ...band, center: band.center - shift * band.sigma };
  });
}
