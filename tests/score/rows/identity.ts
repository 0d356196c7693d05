import {
  followDrift,
  nameRun,
  type ReferenceTime,
  UNALIGNED,
} from "../../../toolkit/batch/quantify/retention.js";
import type { MethodIon } from "../../../toolkit/batch/types.js";
import { childSeed, createRandom, type Random } from "../../../toolkit/numeric/random.js";
import type { EluentProgram } from "../../../toolkit/separation/eluent-program.js";
import { predictRetention } from "../../../toolkit/separation/retention.js";
import type { Row } from "../scenes/rows.js";
import { type RowSize, SEEDS } from "./size.js";

/** Column and programme of the laboratory's anion demonstration (handbook, simulator §3): a, b, charge, prevalence. Invented. */
const IONS = [
  [1.0, 0.95, 1, 0.6],
  [1.16, 0.95, 1, 0.4],
  [1.24, 0.95, 1, 0.4],
  [1.4, 0.96, 1, 0.2],
  [1.47, 0.96, 1, 0.2],
  [1.66, 1.0, 1, 1],
  [1.79, 1.0, 1, 0.7],
  [1.955, 0.99, 1, 0.2],
  [1.995, 1.0, 1, 0.5],
  [2.045, 1.0, 1, 0.85],
  [3.36, 1.95, 2, 0.95],
  [4.8, 2.75, 3, 0.5],
] as const;
/** Substances without a name, each in two of five injections: 3.9, 9.7 and 12.7 min, the last 2.4 % from an ion. */
const UNKNOWNS = [
  [1.1, 0.95],
  [1.72, 1.0],
  [1.91, 0.97],
] as const;
const COLUMN = { holdUpTime: 1.6, dwellTime: 0.6 };
const PROGRAM: EluentProgram = [
  [0, 10],
  [6, 10],
  [16, 40],
];
const CHLORIDE = 5;
const BROMATE = 4;
/** Relative shift of chloride, and of bromate before it, in an overloaded run. */
const OVERLOAD = 0.01;
const PULL = 0.008;
const INJECTIONS = 30;
const BATCHES: Readonly<Record<RowSize, number>> = { small: 2, full: 10 };

interface Peak {
  readonly time: number;
  /** Index of the ion; undefined for an unknown. */
  readonly ion: number | undefined;
  /** Of an overloaded peak 1: the scale of `OVERLOAD`. */
  readonly area: number;
}

/**
 * Lists of peaks of whole batches, named by the evaluation's own identification: an eluent that drifts
 * by 3 %, chloride overloaded in a quarter of the runs, three frequent unknowns; steady, and with a change of 2.5 % in
 * the middle.
 */
export function identityRows(size: RowSize): readonly Row[] {
  return [
    ["steady", 0],
    ["eluent change of 2.5 %", 0.025],
  ].flatMap(([what, jump]) => {
    const count = { ions: 0, wrong: 0, missed: 0, unknowns: 0, named: 0 };
    for (const seed of SEEDS) {
      for (let batch = 0; batch < BATCHES[size]; batch++) {
        const random = createRandom(childSeed(seed, "identity", String(jump), batch));
        countBatch(drawBatch(jump as number, random), count);
      }
    }
    const row = (name: string, hits: number, n: number, limit: number): Row => ({
      name: `identity, ${what}: ${name}`,
      n,
      value: `${((100 * hits) / n).toFixed(2)} %`,
      accept: `≤ ${limit} %`,
      pass: (100 * hits) / n <= limit,
    });
    return [
      row("wrong name", count.wrong, count.ions, 0.1),
      row("missed", count.missed, count.ions, 2),
      row("unknown named", count.named, count.unknowns, 1),
    ];
  });
}

interface Count {
  ions: number;
  wrong: number;
  missed: number;
  unknowns: number;
  named: number;
}

/** The order of the evaluation: each run starts from the alignment of the one before, references follow the drift. */
function countBatch(runs: readonly (readonly Peak[])[], count: Count): void {
  const references = IONS.map(
    ([a, b, charge], i): ReferenceTime => ({
      ion: `ion ${i}`,
      charge,
      time: timeOf(a, b, 1),
      // What standards teach of an ion's own overload; of its pull on neighbours they teach nothing.
      shiftPerArea: i === CHLORIDE ? -OVERLOAD : 0,
      scatter: 0.0015,
      readings: 6,
    }),
  );
  const windows = references.map(
    ({ ion, time }): MethodIon => ({
      ion,
      retentionTime: time,
      window: 0.04 * time,
      model: "linear",
      weighting: "1/x^2",
    }),
  );
  let prior = UNALIGNED;
  let current: readonly ReferenceTime[] = references;
  for (const peaks of runs) {
    const timed = peaks.map(({ time, area }) => ({ time, uTime: 0.0003 * time, height: 1, area }));
    const named = nameRun(timed, current, windows, prior);
    prior = named.alignment;
    current = followDrift(references, current, timed, named);
    for (const [i, { ion }] of peaks.entries()) countPeak(ion, named.names[i], count);
  }
}

function countPeak(ion: number | undefined, name: number | undefined, count: Count): void {
  if (ion === undefined) {
    count.unknowns++;
    if (name !== undefined) count.named++;
    return;
  }
  count.ions++;
  if (name === undefined) count.missed++;
  else if (name !== ion) count.wrong++;
}

/** Apex with the eluent `strength` times as strong as it should be. */
function timeOf(a: number, b: number, strength: number): number {
  const program = PROGRAM.map(([time, c]) => [time, c * strength] as const);
  return predictRetention({ a, b }, program, COLUMN).retentionTime;
}

function drawBatch(jump: number, random: Random): readonly (readonly Peak[])[] {
  return Array.from({ length: INJECTIONS }, (_, run) => {
    const strength = 1 + 0.03 * (run / (INJECTIONS - 1)) + (run >= INJECTIONS / 2 ? jump : 0);
    const common = 0.0008 * random.normal();
    const moved = (a: number, b: number) =>
      timeOf(a, b, strength) * Math.exp(common + 0.001 * random.normal());
    const overloaded = random.uniform() < 0.25;
    const ions = IONS.map(([a, b], ion): Peak => {
      const area = ion === CHLORIDE && overloaded ? 1 : 0;
      const pull = overloaded && ion === BROMATE ? PULL : OVERLOAD * area;
      return { time: (1 - pull) * moved(a, b), ion, area };
    }).filter((_, ion) => random.uniform() < IONS[ion][3]);
    const unknowns = UNKNOWNS.filter(() => random.uniform() < 0.4).map(
      ([a, b]): Peak => ({ time: moved(a, b), ion: undefined, area: 0 }),
    );
    return [...ions, ...unknowns].sort((p, q) => p.time - q.time);
  });
}
