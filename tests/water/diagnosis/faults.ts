import type { Random } from "../../../toolkit/numeric/random.js";
import type { DiagnosedHypothesis } from "../../../toolkit/water/diagnosis/diagnosis-types.js";
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

/** A batch of which some waters have a fault, and how the explanation of each is recognised. */
export interface FaultyBatch {
  readonly fault: Fault;
  readonly laboratory: Laboratory;
  readonly records: readonly Record[];
  readonly faulty: readonly { readonly at: number; readonly isTrue: IsTrue }[];
}

type IsTrue = (hypothesis: DiagnosedHypothesis) => boolean;

export const BATCH_SIZE = 10;
/** Waters of a batch that get a fault, each by itself. */
const FAULTY = 3;
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

/** Draws batches until the fault shows in one; of a batch at most `FAULTY` waters are faulty, each by itself. */
export function drawFaultyBatch(random: Random, fault: Fault): FaultyBatch {
  for (let turn = 0; turn < 500; turn++) {
    const laboratory = drawLaboratory(random);
    const waters = drawWaters(random);
    const clean = readBatch(random, waters, laboratory);
    if (fault === "swapped vials") {
      const made = swap(random, clean, Math.floor(random.uniform() * BATCH_SIZE));
      if (made) return { fault, laboratory, ...made };
      continue;
    }
    const records = [...clean];
    const faulty: { at: number; isTrue: IsTrue }[] = [];
    for (let at = 0; at < BATCH_SIZE && faulty.length < FAULTY; at++) {
      const made =
        fault === "missing organic acid"
          ? organicAcid(random, waters[at], clean[at], laboratory)
          : inject(random, fault, clean[at]);
      if (made === undefined || !shows(made.before, made.record)) continue;
      records[at] = made.record;
      faulty.push({ at, isTrue: made.isTrue });
    }
    if (faulty.length > 0) return { fault, laboratory, records, faulty };
  }
  throw new Error(`no batch shows ${fault}`);
}

/** A water with a fault, beside the same without it. */
interface Made {
  readonly before: Record;
  readonly record: Record;
  readonly isTrue: IsTrue;
}

function shows(before: Record, after: Record): boolean {
  const [a, b] = [sumsOf(before), sumsOf(after)];
  const moved = Math.abs(b.cations - b.anions - (a.cations - a.anions));
  return moved >= VISIBLE * 0.5 * (a.cations + a.anions);
}

function inject(random: Random, fault: Fault, before: Record): Made | undefined {
  switch (fault) {
    case "dilution ×2":
      return dilution(random, before, 2);
    case "dilution ×10":
      return dilution(random, before, 10);
    case "N-unit slip":
      return unitSlip(random, before);
    case "missing hydrogencarbonate":
      return noAlkalinity(before);
    default:
      return contamination(random, before);
  }
}

const scaledBy = (ions: Record["cations"], factor: number) =>
  Object.fromEntries(Object.entries(ions).map(([name, value]) => [name, value * factor]));

const near = (a: number | undefined, b: number): boolean => a !== undefined && Math.abs(a / b - 1) < 0.01;

/** The channel is written down too high or too low by the factor. */
function dilution(random: Random, before: Record, size: number): Made {
  const channel = pick(random, ["cations", "anions"] as const);
  const factor = random.uniform() < 0.5 ? size : 1 / size;
  return {
    before,
    record: { ...before, [channel]: scaledBy(before[channel], factor) },
    isTrue: ({ cause, change }) => cause === `dilution of all ${channel}` && near(change.factor, 1 / factor),
  };
}

/** Nitrate, or ammonium, written down as nitrogen, or taken for nitrogen and multiplied once more. */
function unitSlip(random: Random, before: Record): Made | undefined {
  const [name, channel, size] = pick(random, [
    ["nitrate", "anions", 4.4268],
    ["nitrate", "anions", 4.4268],
    ["nitrate", "anions", 4.4268],
    ["ammonium", "cations", 1.2879],
  ] as const);
  const ions = before[channel];
  if (ions[name] === undefined) return undefined;
  const factor = random.uniform() < 0.5 ? size : 1 / size;
  return {
    before,
    record: { ...before, [channel]: { ...ions, [name]: ions[name] * factor } },
    isTrue: ({ cause, change }) =>
      cause === `${name} given as N or the reverse` && near(change.factor, 1 / factor),
  };
}

function noAlkalinity(before: Record): Made | undefined {
  if (before.alkalinity === undefined) return undefined;
  return {
    ...{ before, record: { ...before, alkalinity: undefined } },
    isTrue: ({ cause }) =>
      cause === "hydrogencarbonate not measured" || cause === "organic anions not measured",
  };
}

/** Sodium from a filter or a bottle: a tenth of all cations to as much again. */
function contamination(random: Random, before: Record): Made {
  const { cations } = before;
  const entered = logBetween(random, [0.1, 1]) * sumsOf(before).cations;
  const sodium = cations.sodium + entered * perMilliequivalent("sodium");
  return {
    ...{ before, record: { ...before, cations: { ...cations, sodium } } },
    isTrue: ({ cause }) => cause === "sodium too high",
  };
}

/** The vials of two waters exchanged on one channel: both are faulty. */
function swap(random: Random, clean: readonly Record[], at: number) {
  const other = Math.floor(random.uniform() * clean.length);
  if (other === at) return undefined;
  const channel = pick(random, ["cations", "anions"] as const);
  const [a, b] = [clean[at], clean[other]];
  const swapped = [
    { ...a, [channel]: b[channel] },
    { ...b, [channel]: a[channel] },
  ];
  if (!shows(a, swapped[0]) || !shows(b, swapped[1])) return undefined;
  const vials = channel === "cations" ? "cation vials" : "anion vials";
  const isTrue: IsTrue = ({ family, change, cause }) =>
    family === "exchanged vials" &&
    change.what === vials &&
    [a.sample, b.sample].every((name) => cause.split(/[ ,]+/).includes(name));
  return {
    records: clean.map((record, i) => (i === at ? swapped[0] : i === other ? swapped[1] : record)),
    faulty: [at, other].map((place) => ({ at: place, isTrue })),
  };
}

/**
 * A part of the anions is organic: of hydrogencarbonate, or of nitrate and sulfate where there is little. The titration takes
 * up what it takes up; a quarter of the waters is not titrated, and then the cause is one with missing hydrogencarbonate.
 */
function organicAcid(
  random: Random,
  water: TrueWater,
  clean: Record,
  laboratory: Laboratory,
): Made | undefined {
  if (!ORGANIC_KINDS.includes(water.kind)) return undefined;
  const ions: { [ion: string]: number } = { ...water.milliequivalents };
  const ofCarbonate = (ions.hydrogencarbonate ?? 0) > 0.2 * ions.chloride;
  const share = between(random, [0.15, 0.7]);
  let organic = 0;
  for (const name of ofCarbonate ? ["hydrogencarbonate"] : ["nitrate", "sulfate"]) {
    organic += share * (ions[name] ?? 0);
    ions[name] = (1 - share) * (ions[name] ?? 0);
  }
  const [organicLambda, organicTitrated] = pick(random, ORGANIC_ACIDS);
  const pH = ofCarbonate ? water.pH + Math.log10(1 - share) : water.pH;
  const acid = { ...water, milliequivalents: ions, organic, organicLambda, organicTitrated, pH };
  const read = readWater(random, clean.sample, acid, laboratory);
  const record = random.uniform() >= 0.25 ? read : { ...read, alkalinity: undefined };
  const unseen = organic * (1 - organicTitrated) * perMilliequivalent("nitrate");
  const nitrate = (record.anions.nitrate ?? 0) + unseen;
  return {
    ...{ before: { ...record, anions: { ...record.anions, nitrate } }, record },
    isTrue: ({ cause }) =>
      cause === "organic anions not measured" ||
      (record.alkalinity === undefined && cause === "hydrogencarbonate not measured"),
  };
}
