import { ion } from "../../../toolkit/ions/ion-table.js";
import type { Random } from "../../../toolkit/numeric/random.js";
import { measured } from "../../../toolkit/uncertainty/measured.js";
import type { BatchWater } from "../../../toolkit/water/diagnosis/diagnose-batch.js";
import { trueConductivity } from "./true-conductivity.js";
import { ANIONS, between, CATIONS, type TrueWater } from "./true-waters.js";

/** How well one laboratory measures, drawn once for a batch; relative standard uncertainties. */
export interface Laboratory {
  readonly ion: number;
  readonly channel: number;
  readonly alkalinity: number;
  readonly conductivity: number;
  readonly solids: number;
}

/** What a laboratory writes down of a water, plain numbers in mg/L, µS/cm and mg/L as CaCO3. */
export interface Record {
  readonly sample: string;
  readonly cations: Readonly<{ [ion: string]: number }>;
  readonly anions: Readonly<{ [ion: string]: number }>;
  readonly pH: number;
  readonly alkalinity: number | undefined;
  readonly conductivity: number;
  readonly solids: number | undefined;
}

const U_PH = 0.05;
/** Smallest scatter of an ion, meq/L, and of a titration. */
const BLANK = 0.0003;
const TITRATION = 0.015;
/** Below this pH nobody titrates. */
const TITRATED_PH = 5.2;
const SOLIDS_SHARE = 0.3;

export function drawLaboratory(random: Random): Laboratory {
  return {
    ion: between(random, [0.008, 0.025]),
    channel: between(random, [0.003, 0.01]),
    alkalinity: between(random, [0.01, 0.02]),
    conductivity: between(random, [0.01, 0.02]),
    solids: 0.03,
  };
}

/** Reads a water with all errors of a laboratory that makes no mistake. */
export function readWater(random: Random, sample: string, water: TrueWater, laboratory: Laboratory): Record {
  const { milliequivalents, pH, organic, organicTitrated, silica } = water;
  const readChannel = (names: readonly string[]) => {
    const shared = 1 + laboratory.channel * random.normal();
    return Object.fromEntries(
      names.flatMap((name) => {
        const amount = milliequivalents[name];
        if (amount === undefined) return [];
        const read = amount * shared * (1 + laboratory.ion * random.normal()) + BLANK * random.normal();
        return [[name, Math.max(0.0001, read) * perMilliequivalent(name)]];
      }),
    );
  };
  const titrated = (milliequivalents.hydrogencarbonate ?? 0) + organic * organicTitrated;
  const alkalinity = titrated * (1 + laboratory.alkalinity * random.normal()) + TITRATION * random.normal();
  const dried = [...CATIONS, ...ANIONS].reduce(
    (sum, name) => sum + (milliequivalents[name] ?? 0) * perMilliequivalent(name),
    0.6 * 50 * (milliequivalents.hydrogencarbonate ?? 0) + silica + 50 * organic,
  );
  const solids = dried * (1 + between(random, [0, 0.06])) * (1 + laboratory.solids * random.normal());
  return {
    sample,
    cations: readChannel(CATIONS),
    anions: readChannel(ANIONS),
    pH: pH + U_PH * random.normal(),
    alkalinity: pH < TITRATED_PH ? undefined : 50.043 * Math.max(0.005, alkalinity),
    conductivity: trueConductivity(random, water) * (1 + laboratory.conductivity * random.normal()),
    solids: random.uniform() < SOLIDS_SHARE ? solids : undefined,
  };
}

/** The record with the uncertainties that the laboratory states. */
export function asGiven(record: Record, laboratory: Laboratory): BatchWater {
  const ions = Object.entries({ ...record.cations, ...record.anions }).map(([name, value]) => {
    const u = Math.hypot(
      Math.hypot(laboratory.ion, laboratory.channel) * value,
      BLANK * perMilliequivalent(name),
    );
    return [name, measured(value, "mg/L", { u })] as const;
  });
  const { sample, pH, alkalinity, conductivity, solids } = record;
  const uAlkalinity = Math.hypot(laboratory.alkalinity * (alkalinity ?? 0), TITRATION * 50.043);
  return {
    sample,
    concentrations: Object.fromEntries(ions),
    pH: measured(pH, "1", { u: U_PH }),
    ...(alkalinity === undefined
      ? {}
      : { alkalinity: measured(alkalinity, "mg/L as CaCO3", { u: uAlkalinity }) }),
    conductivity: measured(conductivity, "µS/cm", { u: laboratory.conductivity * conductivity }),
    ...(solids === undefined
      ? {}
      : { dissolvedSolids: measured(solids, "mg/L", { u: laboratory.solids * solids }) }),
  };
}

export function perMilliequivalent(name: string): number {
  const { molarMass, charge } = ion(name);
  return molarMass / Math.abs(charge);
}

/** Anions − of those a record counts, and cations, meq/L. */
export function sumsOf({ cations, anions, pH, alkalinity }: Record) {
  const sum = (ions: Readonly<{ [ion: string]: number }>) =>
    Object.entries(ions).reduce((all, [name, value]) => all + value / perMilliequivalent(name), 0);
  return { cations: sum(cations) + 10 ** (3 - pH), anions: sum(anions) + (alkalinity ?? 0) / 50.043 };
}
