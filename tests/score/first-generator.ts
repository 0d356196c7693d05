import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { roadSaltScenario } from "../../toolkit/simulation/road-salt-scenario.js";
import type { Scenario, ScenarioChannel, ScenarioSample } from "../../toolkit/simulation/scenario.js";
import { type SimulatedBatch, simulateBatch } from "../../toolkit/simulation/simulate-batch.js";
import type { TrueChannel, TrueInjection, Truth } from "../../toolkit/simulation/truth.js";
import type { BatchTruth, InvestigationTruth, TruePeak, TrueSampleValue } from "./truth.js";

/** The product's own simulator as a generator for the score: its truth told in the scorer's words. */
export function generateFirst(seed: number, folder: string): InvestigationTruth {
  const scenario = roadSaltScenario();
  const simulated = simulateBatch(scenario, { seed });
  writeFolders(simulated, folder);
  return {
    generator: "simulation",
    seed,
    batches: simulated.truth.channels.map((channel, i) =>
      batchTruth(simulated.truth, channel, scenario, scenario.channels[i], folder),
    ),
  };
}

function writeFolders(simulated: SimulatedBatch, folder: string): void {
  for (const channel of simulated.channels) {
    for (const [path, content] of channel.files) {
      const target = join(folder, channel.folder, path);
      mkdirSync(dirname(target), { recursive: true });
      writeFileSync(target, content);
    }
  }
}

function batchTruth(
  truth: Truth,
  channel: TrueChannel,
  scenario: Scenario,
  plan: ScenarioChannel,
  folder: string,
): BatchTruth {
  const ions = plan.method.map(({ ion }) => ion);
  const { white, pink, pulsation } = plan.instrument.noise;
  return {
    channel: channel.channel,
    folder: join(folder, channel.folder),
    ions,
    injections: channel.injections.map(({ injection }) => injection),
    samples: scenario.samples.flatMap((sample) => sampleValues(truth, sample, plan, ions)),
    peaks: channel.injections.flatMap((injection) => truePeaks(injection, new Set(ions))),
    noise: Math.hypot(white, pink, pulsation / Math.SQRT2),
  };
}

/** The ions of a sample that was injected on this channel. */
function sampleValues(
  truth: Truth,
  sample: ScenarioSample,
  plan: ScenarioChannel,
  ions: readonly string[],
): TrueSampleValue[] {
  const dilutions = plan.worksheet
    .filter(({ kind, solution }) => kind === "sample" && solution === sample.sample)
    .map(({ dilution = 1 }) => dilution);
  const real = truth.samples.find((one) => one.sample === sample.sample);
  if (real === undefined || dilutions.length === 0) return [];
  return ions.map((ion) => ({
    sample: sample.sample,
    ion,
    value: real.concentrations[ion] ?? 0,
    unit: sample.unit,
    preparationFactor: preparationFactor(sample),
    dilutions,
  }));
}

/** mg/kg of dry matter per mg/L of extract, by the stated mass and volume; the solid's own water joins the extract. */
function preparationFactor({ preparation }: ScenarioSample): number {
  if (preparation.kind === "direct") return 1;
  const { massGrams, volumeMilliliters, dryFraction } = preparation;
  return (volumeMilliliters + massGrams * (1 - dryFraction)) / (massGrams * dryFraction);
}

type SimulatedPeak = TrueInjection["peaks"][number];

/** Half-height width over σ of a Gaussian. */
const HALF_WIDTH = 2.355;

function truePeaks({ injection, peaks, systemPeaks }: TrueInjection, ions: ReadonlySet<string>): TruePeak[] {
  const named = peaks.map(
    (peak): TruePeak => ({
      injection,
      name: peak.ion,
      kind: ions.has(peak.ion) ? "target" : "unknown",
      retentionTime: peak.retentionTime,
      area: peak.area,
      height: peak.height,
      widthHalf: HALF_WIDTH * peak.sigma,
      visible: standsOut(peak, peaks),
    }),
  );
  const system = systemPeaks.map(
    ({ type, time }): TruePeak => ({
      injection,
      name: type,
      kind: "system",
      retentionTime: time,
      area: Number.NaN,
      height: Number.NaN,
      widthHalf: Number.NaN,
      visible: true,
    }),
  );
  return [...named, ...system];
}

/** Least depth of the valleys beside a maximum that counts as seen, µS/cm. */
const VALLEY = 4e-3;

/** True when the peaks drawn as Gaussians have a maximum of their own at this one, with a valley on either side. */
function standsOut(peak: SimulatedPeak, all: readonly SimulatedPeak[]): boolean {
  const level = (sigmas: number): number => {
    const time = peak.retentionTime + sigmas * peak.sigma;
    return all.reduce((sum, { height, retentionTime, sigma }) => {
      const u = (time - retentionTime) / sigma;
      return sum + height * Math.exp(-0.5 * u * u);
    }, 0);
  };
  const steps = Array.from({ length: 61 }, (_, i) => level(0.1 * (i - 30)));
  let top = 25;
  for (let i = 26; i <= 35; i++) if (steps[i] > steps[top]) top = i;
  const left = Math.min(...steps.slice(0, top));
  const right = Math.min(...steps.slice(top + 1));
  return top > 25 && top < 35 && steps[top] - Math.max(left, right) > VALLEY;
}
