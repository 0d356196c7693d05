import { ion } from "../ions/ion-table.js";
import { childSeed, createRandom } from "../numeric/random.js";
import { type NaturalWater, naturalWater } from "./natural-water.js";
import type { Scenario, ScenarioChannel, ScenarioSample, ScenarioWater } from "./scenario.js";
import { sixDigits, type TrueSample } from "./truth.js";

/** What truly is in a bottle: mg/L of every ion, and its carbonate. */
export interface Liquid {
  readonly concentrations: Readonly<Record<string, number>>;
  /** mol/L */
  readonly totalCarbonate: number;
}

/** A sample with its truth and with the liquid that is injected. */
export interface DrawnSample {
  readonly scenario: ScenarioSample;
  readonly truth: TrueSample;
  readonly liquid: Liquid;
}

type Seed = number | string;

/** A standard normal deviate of one stage. */
export function deviate(seed: Seed, ...stage: readonly (string | number)[]): number {
  return createRandom(childSeed(seed, ...stage)).normal();
}

/**
 * The samples as they truly are for this seed: the story's compositions varied by site, day and visit, charges made
 * equal, extracts made with the masses and volumes that really were taken.
 */
export function drawSamples(scenario: Scenario, seed: Seed): ReadonlyMap<string, DrawnSample> {
  const drawn = scenario.samples.map((sample): [string, DrawnSample] => {
    const share = litersShare(sample, seed);
    const dissolved = scaleAll(drawComposition(scenario, sample, seed), share);
    const water = sample.water && waterOf(dissolved, sample.water, share);
    const liquid = {
      concentrations: water?.concentrations ?? dissolved,
      totalCarbonate: water?.totalCarbonate ?? 0,
    };
    const concentrations = scaleAll(liquid.concentrations, 1 / share);
    return [
      sample.sample,
      { scenario: sample, truth: trueSample(scenario, sample, concentrations, water), liquid },
    ];
  });
  return new Map(drawn);
}

/** A water as it is, or an extract as the liquid that it is. */
function waterOf(
  dissolved: Readonly<Record<string, number>>,
  { pH, closing, polyanions = 0, titratedTo }: ScenarioWater,
  share: number,
): NaturalWater {
  return naturalWater(dissolved, pH, closing, {
    polyanions: (polyanions * share) / 1000,
    ...(titratedTo === undefined ? {} : { titratedTo }),
  });
}

function drawComposition(
  { variation }: Scenario,
  sample: ScenarioSample,
  seed: Seed,
): Readonly<Record<string, number>> {
  const day = sample.collectedAt.slice(0, 10);
  const weather = deviate(seed, "nature", "weather", day);
  const composition: Record<string, number> = {};
  for (const [name, value] of Object.entries(sample.composition)) {
    const site = variation.site * deviate(seed, "nature", "site", sample.site, name);
    const visit =
      (variation.visit * (weather + deviate(seed, "nature", "visit", sample.sample, name))) / Math.SQRT2;
    composition[name] = value * Math.exp(site + visit) + (sample.added?.[name] ?? 0);
  }
  return composition;
}

/** L of liquid per unit of sample: 1 for a water, true kg of dry matter per L of extract for a soil. */
function litersShare({ sample, preparation }: ScenarioSample, seed: Seed): number {
  if (preparation.kind === "direct") return 1;
  const { massGrams, uMassGrams, volumeMilliliters, uVolumeMilliliters, dryFraction } = preparation;
  const mass = massGrams + uMassGrams * deviate(seed, "mass", sample);
  const added = volumeMilliliters + uVolumeMilliliters * deviate(seed, "volume", sample);
  // The soil's own water joins the extract; a gram of it is a millilitre.
  return (mass * dryFraction) / (added + mass * (1 - dryFraction));
}

function scaleAll(
  values: Readonly<Record<string, number>>,
  factor: number,
): Readonly<Record<string, number>> {
  return Object.fromEntries(Object.entries(values).map(([name, value]) => [name, value * factor]));
}

function trueSample(
  { channels }: Scenario,
  { sample, unit, water: story }: ScenarioSample,
  concentrations: Readonly<Record<string, number>>,
  water: NaturalWater | undefined,
): TrueSample {
  const named = new Set(
    channels.flatMap(({ method, notMeasured }) => [...method.map(({ ion: name }) => name), ...notMeasured]),
  );
  const known = [...named].filter((name) => name in concentrations || water || name !== "hydrogencarbonate");
  return {
    sample,
    unit,
    concentrations: Object.fromEntries(known.map((name) => [name, sixDigits(concentrations[name] ?? 0)])),
    unknowns: Object.entries(concentrations)
      .filter(([name, value]) => !named.has(name) && value > 0)
      .map(([name, value]) => ({
        ion: name,
        channel: ion(name).charge < 0 ? ("anion" as const) : ("cation" as const),
        concentration: sixDigits(value),
        microequivalentsPerLiter: sixDigits(
          (1000 * value * Math.abs(ion(name).charge)) / ion(name).molarMass,
        ),
      })),
    ...(story &&
      water && {
        ...(story.polyanions !== undefined && { polyanions: sixDigits(story.polyanions) }),
        pH: story.pH,
        alkalinity: sixDigits(water.alkalinity),
        conductivity: sixDigits(water.conductivity),
      }),
  };
}

/**
 * The standards of a channel as they really came out, mg/L: each stock off by its certificate's uncertainty, shared by
 * all solutions made from it, each solution off by its own.
 */
export function drawSolutions(
  channel: ScenarioChannel,
  seed: Seed,
): ReadonlyMap<string, Readonly<Record<string, number>>> {
  const certificate = new Map(
    channel.stocks.map(({ stock, relativeU }) => [stock, 1 + relativeU * deviate(seed, "stock", stock)]),
  );
  return new Map(
    channel.solutions.map(({ solution, ions, relativeU }) => {
      const own = 1 + relativeU * deviate(seed, "solution", channel.folder, solution);
      return [
        solution,
        Object.fromEntries(
          ions.map(({ ion: name, concentration, stock }) => [
            name,
            concentration * own * (certificate.get(stock) ?? 1),
          ]),
        ),
      ];
    }),
  );
}
