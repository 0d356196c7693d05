import type { ChannelMethod } from "./method.js";
import { ANION_METHOD, CATION_METHOD } from "./method.js";
import { type Stream, stream } from "./random.js";

import { SAMPLE_PLANS, type SamplePlan } from "./sample-plans.js";

/** One sample of one seed: contents in its reporting unit. */
export interface SampleTruth {
  readonly plan: SamplePlan;
  /** mg/L, mg/kg or mg/kg dry. */
  readonly contents: ReadonlyMap<string, number>;
  readonly strangers: ReadonlyMap<string, number>;
  /** What the lab book says was weighed in (g) and added (mL). */
  readonly extract: { readonly mass: number; readonly volume: number } | undefined;
  /** Reporting unit per mg/L of the prepared liquid, from what the lab book says. */
  readonly statedFactor: number;
  readonly alkalinity: number | undefined;
}

/**
 * Volume (mL) in which the solubles of an extract end up over the mass (g) they are reported on. The extractant is
 * added to the moist solid, so the solid's own water counts: (V + m(1 − dry)/ρ)/m, per dry mass where asked.
 */
export function extractFactor(plan: SamplePlan, mass: number, volume: number): number {
  const dry = plan.extract?.dryFraction;
  const water = dry === undefined ? 0 : mass * (1 - dry);
  const basis = plan.extract?.dryBasis && dry !== undefined ? mass * dry : mass;
  return (volume + water) / basis;
}

/** Ions that are never turned absent, so that every sample keeps its skeleton. */
const SKELETON = new Set(["chloride", "nitrate", "sulfate", "sodium", "potassium", "magnesium", "calcium"]);

function contentOf(
  random: Stream,
  plan: SamplePlan,
  method: ChannelMethod,
  ion: string,
  factor: number,
): number {
  const levels = method.targets.find(({ name }) => name === ion)?.levels ?? [];
  const low = levels[0] * factor * Math.min(...plan.dilutions);
  const high = levels[levels.length - 1] * factor * Math.max(...plan.dilutions);
  const draw = random.uniform();
  const spread = random.logBetween(0.7, 1.4);
  const place = random.between(0.35, 0.8);
  const typical =
    (plan.typical[ion] ?? 0) *
    (plan.extract?.dryFraction && plan.extract.dryBasis ? 1 / plan.extract.dryFraction : 1);
  if (!SKELETON.has(ion)) {
    if (draw < 0.2 || (typical === 0 && draw < 0.75)) return 0;
    if (draw < 0.32 || typical === 0) return low * place;
  }
  const content = typical * spread;
  return content > 1.3 * high ? 0.9 * high : content;
}

/** Keeps a trace ion measurable beside its giant: at most `ratio` times less by mass. */
function liftRider(contents: Map<string, number>, rider: string, giant: string, ratio: number): void {
  const small = contents.get(rider) ?? 0;
  const least = (contents.get(giant) ?? 0) / ratio;
  if (small > 0 && small < least) contents.set(rider, least);
}

const milliequivalents: Readonly<Record<string, number>> = {
  fluoride: -1 / 18.998,
  chloride: -1 / 35.45,
  nitrite: -1 / 46.005,
  chlorate: -1 / 83.447,
  bromide: -1 / 79.904,
  nitrate: -1 / 62.004,
  sulfate: -2 / 96.056,
  phosphate: -1.4 / 94.97,
  lithium: 1 / 6.94,
  sodium: 1 / 22.99,
  ammonium: 1 / 18.039,
  potassium: 1 / 39.098,
  magnesium: 2 / 24.305,
  calcium: 2 / 40.078,
  strontium: 2 / 87.62,
};

/** Charge left for hydrogencarbonate, meq/L. */
function excessOfCations(contents: ReadonlyMap<string, number>): number {
  let sum = 0;
  for (const [ion, content] of contents) sum += content * milliequivalents[ion];
  return sum;
}

/** All samples of a seed. */
export function samplesOf(seed: number): readonly SampleTruth[] {
  return SAMPLE_PLANS.map((plan) => {
    const random = stream(seed, "sample", plan.name);
    const extract = plan.extract && {
      mass: Number((plan.extract.mass * random.between(0.95, 1.05)).toFixed(3)),
      volume: plan.extract.volume,
    };
    const statedFactor = extract ? extractFactor(plan, extract.mass, extract.volume) : 1;
    const contents = new Map<string, number>();
    for (const method of [ANION_METHOD, CATION_METHOD]) {
      for (const { name } of method.targets)
        contents.set(name, contentOf(random, plan, method, name, statedFactor));
    }
    liftRider(contents, "nitrite", "chloride", 160);
    liftRider(contents, "bromide", "chlorate", 18);
    liftRider(contents, "chlorate", "bromide", 18);
    liftRider(contents, "ammonium", "sodium", 160);
    liftRider(contents, "strontium", "calcium", 100);
    const strangers = new Map(
      Object.entries(plan.strangers).map(([name, value]) => [name, value * random.logBetween(0.75, 1.4)]),
    );
    let alkalinity: number | undefined;
    if (!plan.extract) {
      const excess = excessOfCations(contents);
      if (excess < 0.02)
        contents.set("calcium", (contents.get("calcium") ?? 0) + (0.02 - excess) / milliequivalents.calcium);
      alkalinity = Math.max(0.02, excess) * 50.04;
    }
    return { plan, contents, strangers, extract, statedFactor, alkalinity };
  });
}
