// How often the 95 % interval of an unidentified anion's charge holds the truth. Invented trials; the cell is real chemistry.
import { ion } from "../../toolkit/ions/ion-table.js";
import { createRandom, type Random } from "../../toolkit/numeric/random.js";
import { type CellSolute, cellSolute } from "../../toolkit/simulation/cell-solute.js";
import { ConductivityCell } from "../../toolkit/simulation/conductivity-cell.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import { unknownAnionEquivalents } from "../../toolkit/water/unknowns/unknown-equivalents.js";

/**
 * The population: limiting conductivities per equivalent of 23 anions of handbook tables, none of them calibrated with,
 * each as likely as any other, 0.1 to 10 neq evenly in the logarithm (the laboratory's handbook, conductivity §5 and its
 * study, where they are taken as fully dissociated).
 */
export const STRANGERS: Readonly<Record<string, number>> = {
  iodide: 76.8,
  thiocyanate: 66,
  perchlorate: 67.3,
  chlorate: 64.6,
  bromate: 55.7,
  chlorite: 52,
  chromate: 85,
  molybdate: 74.5,
  selenate: 75.7,
  thiosulfate: 85,
  methanesulfonate: 48.8,
  formate: 54.6,
  dichloroacetate: 38.3,
  trichloroacetate: 36.6,
  tartrate: 59.6,
  fumarate: 61.8,
  malonate: 63.5,
  oxalate: 74.1,
  iodate: 40.5,
  azide: 69.5,
  cyanate: 64.6,
  sulfamate: 48.6,
  pyrophosphate: 96,
};
const REFERENCES = ["chloride", "bromide", "nitrate", "sulfate"] as const;
/** Instrument factor (cell constant, temperature compensation) of each trial: areas, heights and backgrounds alike. */
const FACTOR = { from: 0.8, to: 1.2 };
/** Below this a background says nothing of carbonic acid, and the cell is left out as `quantify` does it, µS/cm. */
const PURE_WATER = 0.055;
/** Relative standard deviation of every area and of every reading from a calibration. */
const ERROR = 0.01;
const SIGMA_SECONDS = 6;
const STEP_SECONDS = 0.5;
/** 1 mL/min, in L/s. */
const FLOW = 1e-3 / 60;
/** µL: only turns amounts into concentrations. */
const LOOP = 25;
const LEVELS = 80;
const [LEAST, MOST] = [0.02, 40];

export interface CoverageTally {
  readonly trials: number;
  /** Trials whose interval holds the truth. */
  readonly inside: number;
  /** The same of the symmetric interval of the measured value. */
  readonly insideSymmetric: number;
  /** Mean and standard deviation of the relative error, %. */
  readonly bias: number;
  readonly spread: number;
  /** Mean half-width of the interval, %. */
  readonly halfWidth: number;
  /** Share inside by ion. */
  readonly byIon: Readonly<Record<string, number>>;
}

/**
 * @param carbonicAcid total in the cell, µmol/L
 * @param trials rounded up to whole turns over all ions
 */
export function unknownCoverage(carbonicAcid: number, seed: number, trials: number): CoverageTally {
  const random = createRandom(seed);
  const curves = REFERENCES.map((name) => calibrationCurve(name, carbonicAcid));
  const names = Object.keys(STRANGERS);
  const cells = names.map((name) => cellFor(strongAnion(STRANGERS[name]), carbonicAcid));
  const hits = names.map(() => 0);
  const errors: number[] = [];
  let width = 0;
  let symmetric = 0;
  const turns = Math.ceil(trials / names.length);
  for (let turn = 0; turn < turns; turn++) {
    for (const [k, cell] of cells.entries()) {
      const { error, halfWidth, inside, insideSymmetric } = oneTrial(cell, curves, random);
      errors.push(error);
      width += halfWidth;
      if (insideSymmetric) symmetric++;
      if (inside) hits[k]++;
    }
  }
  const n = errors.length;
  const mean = errors.reduce((sum, e) => sum + e, 0) / n;
  const variance = errors.reduce((sum, e) => sum + (e - mean) ** 2, 0) / (n - 1);
  return {
    trials: n,
    inside: hits.reduce((sum, h) => sum + h, 0),
    insideSymmetric: symmetric,
    bias: 100 * mean,
    spread: 100 * Math.sqrt(variance),
    halfWidth: (100 * width) / n,
    byIon: Object.fromEntries(names.map((name, k) => [name, hits[k] / turns])),
  };
}

function oneTrial(cell: Cell, curves: readonly Curve[], random: Random) {
  const neq = 10 ** (2 * random.uniform() - 1);
  const factor = FACTOR.from + (FACTOR.to - FACTOR.from) * random.uniform();
  const truth = cell.peak(neq);
  const area = truth.area * (1 + ERROR * random.normal());
  const references = curves.map(({ name, charge, amountAt }) => ({
    ion: name,
    concentration: (amountAt(area) / charge / LOOP) * ion(name).molarMass * (1 + ERROR * random.normal()),
  }));
  const background = factor * cell.background;
  const found = unknownAnionEquivalents({
    area: measured(factor * area, "µS/cm·min", { u: ERROR * factor * area }),
    references,
    ...(background < PURE_WATER ? {} : { cell: { height: factor * truth.height, background } }),
  });
  const given = (1000 * neq) / LOOP;
  const { value } = found.microequivalents;
  const holds = ({ low, high }: { readonly low: number; readonly high: number }) =>
    low <= given && given <= high;
  const { low, high } = found.interval();
  return {
    error: value / given - 1,
    halfWidth: (high - low) / 2 / value,
    inside: holds({ low, high }),
    insideSymmetric: holds(found.microequivalents.interval()),
  };
}

interface Curve {
  readonly name: string;
  readonly charge: number;
  /** neq of the reference that give an area: its true calibration read backwards. */
  amountAt(area: number): number;
}

function calibrationCurve(name: string, carbonicAcid: number): Curve {
  const { charge, limitingMolarConductivity = Number.NaN } = ion(name);
  const cell = cellFor(strongAnion(limitingMolarConductivity / Math.abs(charge)), carbonicAcid);
  const step = Math.log(MOST / LEAST) / (LEVELS - 1);
  const logs = Float64Array.from({ length: LEVELS }, (_, i) =>
    Math.log(cell.peak(LEAST * Math.exp(i * step)).area),
  );
  return {
    name,
    charge: Math.abs(charge),
    amountAt: (area) => {
      const y = Math.log(area);
      let i = 1;
      while (i < LEVELS - 1 && logs[i] < y) i++;
      const part = (y - logs[i - 1]) / (logs[i] - logs[i - 1]);
      return LEAST * Math.exp((i - 1 + part) * step);
    },
  };
}

interface Cell {
  /** µS/cm */
  readonly background: number;
  /** Area µS/cm·min and height µS/cm of an amount in neq, point by point from ionic equilibrium. */
  peak(nanoequivalents: number): { readonly area: number; readonly height: number };
}

function cellFor(solute: CellSolute, carbonicAcid: number): Cell {
  const cell = new ConductivityCell(
    [solute],
    { carbonicAcid: 1e-6 * carbonicAcid, leak: 0 },
    { ionicInteraction: false },
  );
  const without = cell.conductivity([0]);
  return {
    background: without,
    peak(nanoequivalents) {
      const top = (1e-9 * nanoequivalents) / (FLOW * SIGMA_SECONDS * Math.sqrt(2 * Math.PI));
      const height = cell.conductivity([top]) - without;
      let sum = height;
      for (let t = STEP_SECONDS; t <= 5 * SIGMA_SECONDS; t += STEP_SECONDS) {
        sum += 2 * (cell.conductivity([top * Math.exp(-0.5 * (t / SIGMA_SECONDS) ** 2)]) - without);
      }
      return { area: (sum * STEP_SECONDS) / 60, height };
    },
  };
}

function strongAnion(lambda: number): CellSolute {
  return { ...cellSolute("chloride"), name: `${lambda} S·cm²/eq`, lambdas: Float64Array.of(lambda) };
}
