import { childSeed, createRandom, type Random } from "../../../toolkit/numeric/random.js";
import { baselineSignal } from "../../../toolkit/simulation/baseline-signal.js";
import type { Band, TimeGrid } from "../../../toolkit/simulation/elution-profile.js";
import { applyLag, exponentialLag } from "../../../toolkit/simulation/exponential-lag.js";
import type { Instrument } from "../../../toolkit/simulation/instrument.js";
import { ANION_INSTRUMENT } from "../../../toolkit/simulation/road-salt-instruments.js";
import { noiseOf, recordOf } from "./detector.js";
import {
  GIANTS,
  LEVELS,
  type Load,
  MIXTURES,
  pairRungs,
  sampleLoads,
  sigmaAt,
  standardLoads,
  tailingAt,
  withProfile,
} from "./ladder-plan.js";
import type { NoiseKind, Scene, SceneRun, TailForm } from "./scene.js";
import { bandProfile } from "./tail-forms.js";
import { type Part, truthOf } from "./truth-of.js";

/** Only what lies under the peaks is taken from this: gradient with its corner, wander, drift, water dip. */
const INSTRUMENT: Instrument = {
  ...ANION_INSTRUMENT,
  program: [
    [0, 10],
    [8, 10],
    [18, 40],
    [25, 40],
  ],
  runTime: 25,
  gradientRise: 0.012,
  waterDip: 1.2,
};
const GRID: TimeGrid = { step: 0.2, length: 7500 };
/** Background conductivity, µS/cm, and the detector's time constant, s. */
const BACKGROUND = 0.8;
const DETECTOR_LAG = 0.5;
/** Scatter of the tops from run to run: all together, and each, s. */
const SHIFT = 0.5;
const JITTER = 0.2;
/** Standards of the riders: the highest levels, which alone tell a recovered fraction. */
const RIDER_LEVELS = 4;
/** How far the amount of a giant injected alone is off. */
const ALONE = 0.03;

/** Riders, pairs and singles as a ladder along one run, with straight response: the coverage of each is counted. */
export function ladderScene(
  seed: number,
  noise: NoiseKind,
  tail: TailForm,
  samples: number,
  blanks = 3,
  levels: number = LEVELS.length,
  repeats = 0,
): Scene {
  const name = `ladder, ${noise}, ${tail}, seed ${seed}`;
  const stream = (...stage: (string | number)[]) =>
    createRandom(childSeed("scenes", seed, "ladder", noise, tail, ...stage));
  const pairs = pairRungs(stream("pairs"));
  const run = (id: string, loads: readonly Load[]) =>
    injection(`${name}, ${id}`, loads, noise, tail, (...stage) => stream(id, ...stage));
  const sample = (k: number): SceneRun => {
    const loads = sampleLoads(pairs, k, stream(`sample ${k}`, "amounts"));
    const made = run(`sample ${k}`, loads);
    if (!withProfile(loads)) return made;
    const chromatogram = run(`alone ${k}`, alone(loads, stream(`alone ${k}`, "amounts"))).chromatogram;
    return { ...made, alone: { chromatogram, apexes: GIANTS.map(({ apex }) => apex / 60) } };
  };
  return {
    name,
    family: "ladder",
    seed,
    noise,
    tail,
    blanks: Array.from({ length: blanks }, (_, k) => run(`blank ${k}`, [])),
    standards: [
      ...LEVELS.slice(0, levels).flatMap((level, k) =>
        MIXTURES.filter((_, m) => m === 0 || k < RIDER_LEVELS).map((mixture) =>
          run(`standard ${level}, ${mixture}`, standardLoads(pairs, level, mixture)),
        ),
      ),
      ...Array.from({ length: repeats }, (_, k) =>
        MIXTURES.map((mixture) =>
          run(`standard ${LEVELS[0]} again ${k}, ${mixture}`, standardLoads(pairs, LEVELS[0], mixture)),
        ),
      ).flat(),
    ],
    samples: Array.from({ length: samples }, (_, k) => sample(k)),
    named: [],
  };
}

/** The giants of a run injected again without anything else, each a little more or less. */
function alone(loads: readonly Load[], random: Random): readonly Load[] {
  return loads
    .filter(({ rung }) => GIANTS.includes(rung))
    .map(({ rung, height, overload }) => {
      const factor = 1 + ALONE * random.normal();
      return { rung, height: factor * height, overload: factor * overload };
    });
}

function injection(
  id: string,
  loads: readonly Load[],
  noise: NoiseKind,
  tail: TailForm,
  stream: (...stage: string[]) => Random,
): SceneRun {
  const shift = SHIFT * stream("shift").normal();
  const parts = loads.map((load): Part => {
    const { ion, apex } = load.rung;
    const top = apex + shift + JITTER * stream("retention", ion).normal();
    const band = { sigma: sigmaAt(apex), tau: tailingAt(apex) * sigmaAt(apex), overload: load.overload };
    const { centred, profile } = withTopAt(top, band, tail);
    return {
      ion,
      kind: "ion",
      band: centred,
      contribution: scaledTo(load.height, profile),
      ...(load.rider === undefined ? {} : { rider: load.rider }),
    };
  });
  const clean = baselineSignal(INSTRUMENT, INSTRUMENT.holdUpTime, GRID, stream).map((y) => y + BACKGROUND);
  for (const { contribution } of parts) for (let i = 0; i < clean.length; i++) clean[i] += contribution[i];
  return {
    chromatogram: recordOf(id, clean, GRID, noise, stream),
    truth: truthOf(parts, { ...GRID, dip: 60 * INSTRUMENT.holdUpTime, noise: noiseOf(noise) }),
  };
}

/** A band whose top, tail and overload and all, stands at a time: gaps are distances of tops. */
function withTopAt(top: number, band: Omit<Band, "center">, tail: TailForm) {
  const lag = exponentialLag(DETECTOR_LAG, GRID.step);
  const at = (center: number) => applyLag(lag, bandProfile({ ...band, center }, tail, GRID));
  const first = at(top);
  const center = top + (top - vertexTime(first));
  return { centred: { ...band, center }, profile: at(center) };
}

/** Top of the parabola through the highest sample and its neighbours, s. */
function vertexTime(profile: Float64Array): number {
  let k = 1;
  for (let i = 1; i < profile.length - 1; i++) if (profile[i] > profile[k]) k = i;
  const [a, b, c] = [profile[k - 1], profile[k], profile[k + 1]];
  return (k + (0.5 * (a - c)) / (a - 2 * b + c)) * GRID.step;
}

function scaledTo(height: number, profile: Float64Array): Float64Array {
  const factor = height / profile.reduce((most, y) => Math.max(most, y), 0);
  return profile.map((y) => factor * y);
}
