import { noteSeed } from "../evidence.js";
import { childSeed, createRandom } from "../numeric/random.js";
import { predictPeak } from "../separation/peak-width.js";
import {
  methodText,
  samplesText,
  signalText,
  solutionsText,
  type WorksheetRow,
  worksheetRows,
  worksheetText,
} from "./batch-files.js";
import { elutionProfile } from "./elution-profile.js";
import type { ColumnSolute, Instrument } from "./instrument.js";
import { instrumentDrift } from "./instrument-drift.js";
import { molesPerLiter } from "./natural-water.js";
import type { Scenario, ScenarioChannel, ScenarioInjection } from "./scenario.js";
import { type Injected, simulateInjection } from "./simulate-injection.js";
import { type DrawnSample, deviate, drawSamples, drawSolutions, type Liquid } from "./true-liquids.js";
import {
  SIMULATION_VERSION,
  sixDigits,
  type TrueChannel,
  type TrueInjection,
  type Truth,
  trueInjection,
} from "./truth.js";

/** One channel's folder in memory. */
export interface SimulatedChannel {
  readonly channel: "anion" | "cation";
  readonly folder: string;
  /** Path relative to the folder to content. */
  readonly files: ReadonlyMap<string, string>;
}

/** A batch with its truth, not yet on disk. */
export interface SimulatedBatch {
  readonly kind: "simulated-batch";
  readonly scenario: string;
  readonly seed: number | string;
  readonly channels: readonly SimulatedChannel[];
  readonly truth: Truth;
  toString(): string;
}

/**
 * A whole batch of raw data made from a story, and the truth behind it. The same scenario and seed give the same
 * batch; a stage, injection or ion added to a scenario changes no other stage's random numbers.
 *
 * Each standard, dilution, mass, volume and injection deviates from its nominal value, drawn normally with the
 * uncertainty that the files state for it (the injected volume's is stated nowhere, as in a laboratory).
 *
 * @throws IonbookError "not-neutral" when a water of the scenario cannot be made electroneutral
 * @source the chain is our own; each link names its source
 */
export function simulateBatch(
  scenario: Scenario,
  options: { readonly seed: number | string },
): SimulatedBatch {
  const { seed } = options;
  noteSeed(seed, `invented batch "${scenario.name}"`);
  const samples = drawSamples(scenario, seed);
  const simulated = scenario.channels.map((channel) => simulateChannel(scenario, channel, samples, seed));
  const truth: Truth = {
    schema: "ionbook-simulation-truth-1",
    generator: `ionbook simulation ${SIMULATION_VERSION}`,
    invented: true,
    scenario: scenario.name,
    seed,
    answer: scenario.answer,
    samples: [...samples.values()].map((sample) => sample.truth),
    channels: simulated.map((each) => each.truth),
  };
  return {
    kind: "simulated-batch",
    scenario: scenario.name,
    seed,
    channels: simulated.map(({ channel, folder, files }) => ({ channel, folder, files })),
    truth,
    toString: () =>
      `invented batch "${scenario.name}", seed ${seed}: ${simulated
        .map((each) => `${each.truth.injections.length} injections of ${each.channel}s`)
        .join(", ")}`,
  };
}

function simulateChannel(
  scenario: Scenario,
  channel: ScenarioChannel,
  samples: ReadonlyMap<string, DrawnSample>,
  seed: number | string,
): SimulatedChannel & { readonly truth: TrueChannel } {
  const { instrument, folder } = channel;
  const rows = worksheetRows(channel);
  const solutions = drawSolutions(channel, seed);
  const files = new Map([
    ["batch.json", methodText(channel, scenario, nominalApexes(channel))],
    ["worksheet.csv", worksheetText(rows, channel.relativeUDilution)],
    ["solutions.csv", solutionsText(channel)],
    ["samples.csv", samplesText([...samples.values()], seed)],
  ]);
  const states = instrumentDrift(rows.length, createRandom(childSeed(seed, folder, "instrument")));
  const injections: TrueInjection[] = [];
  let before: Injected["solutes"] = [];
  for (const [run, row] of rows.entries()) {
    const taken = takeAliquot(channel, row, samples, solutions, seed);
    const injected = withCarryOver(inject(channel, taken), before, instrument.carryOver);
    const result = simulateInjection(instrument, injected, states[run], childSeed(seed, folder, row.id));
    files.set(row.signal, signalText(result.signal, instrument.samplingRate, channel.signalUnit));
    const { kind, solution } = row.scenario;
    injections.push(trueInjection({ injection: row.id, kind, solution, ...taken }, result));
    before = injected.solutes;
  }
  return {
    channel: instrument.channel,
    folder,
    files,
    truth: { channel: instrument.channel, folder, solutions: rounded(solutions), injections },
  };
}

/** What truly goes into the loop, and how far dilution and volume are from what is written down. */
interface Aliquot {
  readonly liquid: Liquid;
  readonly dilution: number;
  readonly volumeFactor: number;
}

function takeAliquot(
  channel: ScenarioChannel,
  { id, scenario }: WorksheetRow,
  samples: ReadonlyMap<string, DrawnSample>,
  solutions: ReadonlyMap<string, Readonly<Record<string, number>>>,
  seed: number | string,
): Aliquot {
  const { folder, instrument, relativeUDilution, contamination } = channel;
  const nominal = scenario.dilution ?? 1;
  const dilution =
    nominal > 1 ? nominal * (1 + relativeUDilution * deviate(seed, folder, id, "dilution")) : 1;
  const volumeFactor = 1 + instrument.injectionError * deviate(seed, folder, id, "volume");
  const native = bottle(scenario, samples, solutions);
  const concentrations: Record<string, number> = {};
  for (const [name, value] of Object.entries(native.concentrations)) concentrations[name] = value / dilution;
  for (const [name, { mean, deviation }] of Object.entries(contamination)) {
    const trace = mean + deviation * deviate(seed, folder, id, "contamination", name);
    concentrations[name] = (concentrations[name] ?? 0) + Math.max(0, trace);
  }
  return {
    liquid: { concentrations, totalCarbonate: native.totalCarbonate / dilution },
    dilution,
    volumeFactor,
  };
}

/** The undiluted content: of a sample, a standard, a spiked sample, or pure water. */
function bottle(
  { kind, solution, parent, spikedShare = 0 }: ScenarioInjection,
  samples: ReadonlyMap<string, DrawnSample>,
  solutions: ReadonlyMap<string, Readonly<Record<string, number>>>,
): Liquid {
  const sample = samples.get(kind === "matrix spike" ? (parent ?? "") : solution);
  const standard = solutions.get(solution) ?? {};
  if (!sample) return { concentrations: standard, totalCarbonate: 0 };
  if (kind !== "matrix spike") return sample.liquid;
  const mixed: Record<string, number> = { ...standard };
  for (const [name, value] of Object.entries(sample.liquid.concentrations)) {
    mixed[name] = (mixed[name] ?? 0) + value * (1 - spikedShare);
  }
  return { concentrations: mixed, totalCarbonate: sample.liquid.totalCarbonate * (1 - spikedShare) };
}

function inject({ instrument, solutes }: ScenarioChannel, { liquid, volumeFactor }: Aliquot): Injected {
  // µL × mol/L is µmol, hence 1000 for nmol.
  const volume = 1000 * instrument.loop * volumeFactor;
  const { passing = 0, pickedUp = 0 } = instrument.carbonate ?? {};
  return {
    solutes: solutes.map((solute) => ({
      solute,
      nanomoles: volume * molesPerLiter(solute.ion, liquid.concentrations[solute.ion] ?? 0),
    })),
    carbonicNanomoles: pickedUp + passing * volume * liquid.totalCarbonate,
  };
}

function withCarryOver(injected: Injected, before: Injected["solutes"], share: number): Injected {
  const solutes = injected.solutes.map(({ solute, nanomoles }, i) => ({
    solute,
    nanomoles: nanomoles + share * (before[i]?.nanomoles ?? 0),
  }));
  return { ...injected, solutes };
}

/** Where the analyst expects each ion: the top of its undistorted peak on the nominal instrument. */
function nominalApexes({ instrument, solutes }: ScenarioChannel): ReadonlyMap<string, number> {
  return new Map(solutes.map((solute) => [solute.ion, nominalApex(instrument, solute)]));
}

function nominalApex(instrument: Instrument, solute: ColumnSolute): number {
  const { retentionTime, sigma } = predictPeak(solute, instrument.program, instrument);
  const step = 1 / instrument.samplingRate;
  const band = {
    center: 60 * retentionTime,
    sigma: 60 * sigma,
    tau: 60 * solute.tailing * sigma,
    overload: 0,
  };
  const profile = elutionProfile(band, { step, length: Math.round((60 * instrument.runTime) / step) });
  return (profile.indexOf(profile.reduce((most, y) => Math.max(most, y), 0)) * step) / 60;
}

function rounded(solutions: ReadonlyMap<string, Readonly<Record<string, number>>>): TrueChannel["solutions"] {
  const round = (ions: Readonly<Record<string, number>>): Readonly<Record<string, number>> =>
    Object.fromEntries(Object.entries(ions).map(([name, value]) => [name, sixDigits(value)]));
  return Object.fromEntries([...solutions].map(([name, ions]) => [name, round(ions)]));
}
