import type { Random } from "../../../toolkit/numeric/random.js";
import type {
  BalanceDiagnosis,
  DiagnosedHypothesis,
} from "../../../toolkit/water/diagnosis/diagnosis-types.js";
import {
  drawLaboratory,
  type Laboratory,
  perMilliequivalent,
  type Record,
  readWater,
  sumsOf,
} from "./read-waters.js";
import { between, drawWater, KINDS, logBetween, pick, type TrueWater } from "./true-waters.js";

export const FAULTS = [
  "dilution ×2",
  "dilution ×10",
  "N-unit slip",
  "missing hydrogencarbonate",
  "swapped vials",
  "contaminated sodium",
  "missing organic acid",
] as const;
export type Fault = (typeof FAULTS)[number];

/** A batch with one fault, and how its explanation is recognised. */
export interface FaultyBatch {
  readonly fault: Fault;
  readonly laboratory: Laboratory;
  readonly records: readonly Record[];
  /** Places of the faulty waters. */
  readonly faulty: readonly number[];
  readonly isTrue: (hypothesis: DiagnosedHypothesis, diagnosis: BalanceDiagnosis) => boolean;
}

export const BATCH_SIZE = 10;
/**
 * A fault that moves the difference by less than this part of the mean of both sums (2.5 % of cations + anions) passes the
 * published criteria of a balance: it is drawn again.
 */
export const VISIBLE = 0.05;
const KINDS_OF_BATCH = 3;

/** Limiting conductivity per equivalent and part taken up by a titration to pH 4.5, from pKa 3.75, 4.76, 4.27, 3.86, 3.4/5.1 and humic matter. */
const ORGANIC_ACIDS: readonly (readonly [lambda: number, titrated: number])[] = [
  [54.6, 0.15],
  [40.9, 0.6],
  [74.1, 0.18],
  [38.8, 0.19],
  [58.8, 0.42],
  [35, 0.35],
];

/** Where organic acids come in amounts that a balance shows: rain, brown water, leachate and effluent, extracts of plants. */
const ORGANIC_KINDS = [
  "inland rain",
  "coastal rain",
  "soft stream",
  "river",
  "nutrient solution",
  "effluent",
];

/** Waters of a batch as they are: three kinds, as in one campaign. */
export function drawWaters(random: Random): TrueWater[] {
  const kinds = Array.from({ length: KINDS_OF_BATCH }, () => pick(random, KINDS));
  return Array.from({ length: BATCH_SIZE }, () => drawWater(random, pick(random, kinds)));
}

export function readBatch(random: Random, waters: readonly TrueWater[], laboratory: Laboratory): Record[] {
  return waters.map((water, i) => readWater(random, `s${i + 1}`, water, laboratory));
}

/** Draws batches until the fault shows in one. */
export function drawFaultyBatch(random: Random, fault: Fault): FaultyBatch {
  for (let turn = 0; turn < 500; turn++) {
    const laboratory = drawLaboratory(random);
    const waters = drawWaters(random);
    const at = Math.floor(random.uniform() * BATCH_SIZE);
    const made =
      fault === "missing organic acid"
        ? organicAcid(random, waters, at, laboratory)
        : inject(random, fault, readBatch(random, waters, laboratory), at);
    if (made?.faulty.every((place) => shows(made.before[place], made.records[place]))) {
      const { records, faulty, isTrue } = made;
      return { fault, laboratory, records, faulty, isTrue };
    }
  }
  throw new Error(`no batch shows ${fault}`);
}

interface Made {
  readonly before: readonly Record[];
  readonly records: readonly Record[];
  readonly faulty: readonly number[];
  readonly isTrue: FaultyBatch["isTrue"];
}

function shows(before: Record, after: Record): boolean {
  const [a, b] = [sumsOf(before), sumsOf(after)];
  const moved = Math.abs(b.cations - b.anions - (a.cations - a.anions));
  return moved >= VISIBLE * 0.5 * (a.cations + a.anions);
}

function inject(random: Random, fault: Fault, before: readonly Record[], at: number): Made | undefined {
  switch (fault) {
    case "dilution ×2":
      return dilution(random, before, at, 2);
    case "dilution ×10":
      return dilution(random, before, at, 10);
    case "N-unit slip":
      return unitSlip(random, before, at);
    case "missing hydrogencarbonate":
      return noAlkalinity(before, at);
    case "swapped vials":
      return swap(random, before, at);
    default:
      return contamination(random, before, at);
  }
}

const replaced = (records: readonly Record[], at: number, by: Partial<Record>): readonly Record[] =>
  records.map((record, i) => (i === at ? { ...record, ...by } : record));

const scaledBy = (ions: Record["cations"], factor: number) =>
  Object.fromEntries(Object.entries(ions).map(([name, value]) => [name, value * factor]));

const near = (a: number | undefined, b: number): boolean => a !== undefined && Math.abs(a / b - 1) < 0.01;

/** The channel is written down too high or too low by the factor. */
function dilution(random: Random, before: readonly Record[], at: number, size: number): Made {
  const channel = pick(random, ["cations", "anions"] as const);
  const factor = random.uniform() < 0.5 ? size : 1 / size;
  const records = replaced(before, at, { [channel]: scaledBy(before[at][channel], factor) });
  return {
    ...{ before, records, faulty: [at] },
    isTrue: ({ cause, change }) => cause === `dilution of all ${channel}` && near(change.factor, 1 / factor),
  };
}

/** Nitrate, or ammonium, written down as nitrogen, or taken for nitrogen and multiplied once more. */
function unitSlip(random: Random, before: readonly Record[], at: number): Made | undefined {
  const [name, channel, size] = pick(random, [
    ["nitrate", "anions", 4.4268],
    ["nitrate", "anions", 4.4268],
    ["nitrate", "anions", 4.4268],
    ["ammonium", "cations", 1.2879],
  ] as const);
  const ions = before[at][channel];
  if (ions[name] === undefined) return undefined;
  const factor = random.uniform() < 0.5 ? size : 1 / size;
  const records = replaced(before, at, { [channel]: { ...ions, [name]: ions[name] * factor } });
  return {
    ...{ before, records, faulty: [at] },
    isTrue: ({ cause, change }) =>
      cause === `${name} given as N or the reverse` && near(change.factor, 1 / factor),
  };
}

function noAlkalinity(before: readonly Record[], at: number): Made | undefined {
  if (before[at].alkalinity === undefined) return undefined;
  return {
    ...{ before, records: replaced(before, at, { alkalinity: undefined }), faulty: [at] },
    isTrue: ({ cause }) =>
      cause === "hydrogencarbonate not measured" || cause === "organic anions not measured",
  };
}

/** The vials of two waters exchanged on one channel: both are faulty. */
function swap(random: Random, before: readonly Record[], at: number): Made | undefined {
  const other = Math.floor(random.uniform() * before.length);
  if (other === at) return undefined;
  const channel = pick(random, ["cations", "anions"] as const);
  const [a, b] = [before[at], before[other]];
  const once = replaced(before, at, { [channel]: b[channel] });
  const names = [a.sample, b.sample];
  const vials = channel === "cations" ? "cation vials" : "anion vials";
  return {
    ...{ before, records: replaced(once, other, { [channel]: a[channel] }), faulty: [at, other] },
    isTrue: ({ family, change, cause }) =>
      family === "exchanged vials" &&
      change.what === vials &&
      names.every((name) => cause.split(/[ ,]+/).includes(name)),
  };
}

/** Sodium from a filter or a bottle: a tenth of all cations to as much again. */
function contamination(random: Random, before: readonly Record[], at: number): Made {
  const { cations } = before[at];
  const entered = logBetween(random, [0.1, 1]) * sumsOf(before[at]).cations;
  const sodium = cations.sodium + entered * perMilliequivalent("sodium");
  return {
    ...{ before, records: replaced(before, at, { cations: { ...cations, sodium } }), faulty: [at] },
    isTrue: ({ cause }) => cause === "sodium too high",
  };
}

/**
 * A part of the anions is organic: of hydrogencarbonate, or of nitrate and sulfate where there is little. The titration takes
 * up what it takes up; a quarter of the waters is not titrated, and then the cause is one with missing hydrogencarbonate.
 */
function organicAcid(
  random: Random,
  waters: readonly TrueWater[],
  at: number,
  laboratory: Laboratory,
): Made | undefined {
  const water = waters[at];
  if (!ORGANIC_KINDS.includes(water.kind)) return undefined;
  const ions: { [ion: string]: number } = { ...water.milliequivalents };
  const from =
    (ions.hydrogencarbonate ?? 0) > 0.2 * ions.chloride ? ["hydrogencarbonate"] : ["nitrate", "sulfate"];
  const share = between(random, [0.15, 0.7]);
  let organic = 0;
  for (const name of from) {
    organic += share * (ions[name] ?? 0);
    ions[name] = (1 - share) * (ions[name] ?? 0);
  }
  const [organicLambda, organicTitrated] = pick(random, ORGANIC_ACIDS);
  const acid: TrueWater = { ...water, milliequivalents: ions, organic, organicLambda, organicTitrated };
  const pH =
    ions.hydrogencarbonate === undefined
      ? water.pH
      : water.pH + Math.log10(1 - (from.length === 1 ? share : 0));
  const all = waters.map((each, i) => (i === at ? { ...acid, pH } : each));
  const titrate = random.uniform() >= 0.25;
  const read = readBatch(random, all, laboratory);
  const records = titrate ? read : replaced(read, at, { alkalinity: undefined });
  const counted = {
    ...read[at],
    anions: {
      ...read[at].anions,
      nitrate:
        (read[at].anions.nitrate ?? 0) + organic * (1 - organicTitrated) * perMilliequivalent("nitrate"),
    },
  };
  return {
    before: replaced(records, at, { ...counted, alkalinity: records[at].alkalinity }),
    ...{ records, faulty: [at] },
    isTrue: ({ cause }) =>
      cause === "organic anions not measured" ||
      (records[at].alkalinity === undefined && cause === "hydrogencarbonate not measured"),
  };
}
