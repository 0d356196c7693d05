import { childSeed, createRandom, type Random } from "../../../toolkit/numeric/random.js";
import { mean } from "../../../toolkit/numeric/summary.js";
import { findPeaks } from "../../../toolkit/peaks/detection/find-peaks.js";
import type { EluentProgram } from "../../../toolkit/separation/eluent-program.js";
import { fitRetention, type ScoutingRun } from "../../../toolkit/separation/fit-retention.js";
import { makeChromatogram } from "../../../toolkit/signal/make-chromatogram.js";
import { ANION_INSTRUMENT, ANION_SOLUTES } from "../../../toolkit/simulation/road-salt-instruments.js";
import { simulateInjection } from "../../../toolkit/simulation/simulate-injection.js";
import type { Row } from "../scenes/rows.js";
import { quantile } from "../scenes/statistics.js";
import { drawBetween, type RowSize, rootMeanSquare, SEEDS } from "./size.js";

const SCOUTING: readonly EluentProgram[] = [
  [[0, 10]],
  [[0, 30]],
  [
    [0, 6],
    [10, 50],
  ],
  [
    [0, 6],
    [25, 50],
  ],
];
const RUN_TIME = 30;
/** Amount of each ion, nmol: no overload to move an apex. */
const NANOMOLES = 0.4;
/** Injections whose mean counts as the true time. */
const INJECTIONS = 3;
/** Relative scatter of a retention time from run to run here: eluent 0.1 % times b, log k 0.0006, temperature. */
const UNREST = 0.0025;
const ROUNDS: Readonly<Record<RowSize, number>> = { small: 0, full: 2 };

/**
 * Records of scouting runs made by the simulator (state of the instrument, tails and noise included), peaks found in
 * them, the model fitted, and the apexes of a programme that nobody has run predicted. Hold-up and dwell time are known
 * to 1 and 3 %.
 */
export function retentionRows(size: RowSize): readonly Row[] {
  const errors: number[] = [];
  const covered: boolean[] = [];
  const seeds = size === "small" ? SEEDS.slice(0, 1) : SEEDS;
  for (const seed of seeds) {
    for (let round = 0; round <= ROUNDS[size]; round++) {
      const random = createRandom(childSeed(seed, "retention", round));
      const runs = seenTwice(
        SCOUTING.map((program) => ({ program, retentionTimes: foundTimes(program, random) })),
      );
      const { holdUpTime, dwellTime } = ANION_INSTRUMENT;
      const fit = fitRetention(runs, {
        times: {
          holdUpTime: holdUpTime * (1 + 0.01 * random.normal()),
          dwellTime: dwellTime * (1 + 0.03 * random.normal()),
        },
        relativeU: UNREST,
      });
      const unseen = drawProgram(random);
      for (const [ion, apex] of trueTimes(unseen, random)) {
        if (fit.ions[ion] === undefined) continue;
        const predicted = fit.predict(ion, unseen);
        errors.push(100 * (predicted.value / apex - 1));
        covered.push(Math.abs(predicted.value - apex) <= 2 * predicted.u);
      }
    }
  }
  const rms = rootMeanSquare(errors);
  const p95 = quantile(errors.map(Math.abs), 0.95);
  const inside = covered.filter(Boolean).length / covered.length;
  return [
    {
      name: "retention: t_R of an unseen programme",
      n: errors.length,
      value: `rms ${rms.toFixed(3)} %, 95 % within ${p95.toFixed(3)} %, truth within 2 u ${inside.toFixed(2)}`,
      accept: "rms < 0.3 %",
      pass: rms < 0.3,
    },
  ];
}

/** An ion that coelutes or stays on the column in all runs but one cannot be fitted. */
function seenTwice(runs: readonly ScoutingRun[]): readonly ScoutingRun[] {
  const count = (ion: string) =>
    runs.filter(({ retentionTimes }) => retentionTimes[ion] !== undefined).length;
  return runs.map(({ program, retentionTimes }) => ({
    program,
    retentionTimes: Object.fromEntries(Object.entries(retentionTimes).filter(([ion]) => count(ion) >= 2)),
  }));
}

function drawProgram(random: Random): EluentProgram {
  const hold = drawBetween(random, 2, 6);
  const start = drawBetween(random, 8, 12);
  return [
    [0, start],
    [hold, start],
    [hold + drawBetween(random, 8, 14), drawBetween(random, 35, 45)],
  ];
}

/** Apexes under a programme on the instrument in its nominal state: the mean of several injections. */
function trueTimes(program: EluentProgram, random: Random): ReadonlyMap<string, number> {
  const times = new Map<string, number[]>();
  for (let turn = 0; turn < INJECTIONS; turn++) {
    for (const { ion, apex } of run(program, random, 0).peaks)
      times.set(ion, [...(times.get(ion) ?? []), apex]);
  }
  return new Map([...times].map(([ion, apexes]) => [ion, mean(apexes)]));
}

/** @param unrest share of the usual deviations of flow, eluent and temperature from their nominal state */
function run(program: EluentProgram, random: Random, unrest: number) {
  const instrument = { ...ANION_INSTRUMENT, program, runTime: RUN_TIME };
  const state = {
    flow: unrest * 0.0005 * random.normal(),
    eluent: unrest * 0.001 * random.normal(),
    temperature: unrest * 0.1 * random.normal(),
    capacity: 1,
  };
  const injected = {
    solutes: ANION_SOLUTES.map((solute) => ({ solute, nanomoles: NANOMOLES })),
    carbonicNanomoles: 0.2,
  };
  const result = simulateInjection(instrument, injected, state, childSeed(random.uint32()));
  return {
    ...result,
    peaks: result.peaks.filter(({ height, apex }) => height > 0.02 && apex < RUN_TIME - 1),
  };
}

/** Apexes as found in the record; which ion is which is the laboratory's tracking by amount, taken as done. */
function foundTimes(program: EluentProgram, random: Random): Readonly<Record<string, number>> {
  const { signal, peaks } = run(program, random, 1);
  const time = Float64Array.from(signal, (_, i) => i / ANION_INSTRUMENT.samplingRate / 60);
  const found = findPeaks(makeChromatogram({ id: "scouting run", time, signal }));
  const out: Record<string, number> = {};
  for (const { ion, apex, band } of peaks) {
    const near = found.filter(
      ({ retentionTime }) => Math.abs(retentionTime - apex) < (1.5 * band.sigma) / 60,
    );
    const rivals = peaks.filter((other) => Math.abs(other.apex - apex) < (4 * band.sigma) / 60);
    // Two ions under one peak are no reading of either.
    if (near.length === 1 && rivals.length === 1) out[ion] = near[0].retentionTime;
  }
  return out;
}
