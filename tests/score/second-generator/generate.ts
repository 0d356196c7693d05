import { mkdirSync } from "node:fs";
import { join } from "node:path";
import type { BatchTruth, InvestigationTruth, TruePeak } from "../truth.js";
import { fastNoise, QUIETNESS } from "./disturbances.js";
import { writeSignal, writeTables } from "./folder.js";
import { ANION_METHOD, CATION_METHOD, type ChannelMethod } from "./method.js";
import { record } from "./record.js";
import { runPlan } from "./run-plan.js";
import { type SampleTruth, samplesOf } from "./scenario.js";

function unitOf({ plan, extract }: SampleTruth): string {
  if (!extract) return "mg/L";
  return plan.extract?.dryBasis ? "mg/kg dry" : "mg/kg";
}

function writeChannel(
  seed: number,
  method: ChannelMethod,
  samples: readonly SampleTruth[],
  folder: string,
): BatchTruth {
  const { standards, injections } = runPlan(seed, method, samples);
  writeTables(folder, seed, method, standards, injections, samples);
  const peaks: TruePeak[] = [];
  for (const { id, injected } of injections) {
    const recorded = record(seed, method, injected);
    writeSignal(folder, method, id, recorded.signal);
    peaks.push(...recorded.peaks);
  }
  const ions = method.targets.map(({ name }) => name);
  return {
    channel: method.channel,
    folder,
    ions,
    injections: injections.map(({ id }) => id),
    samples: samples.flatMap((sample) =>
      ions.map((ion) => ({
        sample: sample.plan.name,
        ion,
        value: sample.contents.get(ion) ?? 0,
        unit: unitOf(sample),
        preparationFactor: sample.statedFactor,
        dilutions: sample.plan.dilutions,
      })),
    ),
    peaks,
    noise: fastNoise(QUIETNESS),
  };
}

/**
 * Writes an invented investigation of two channels, `anions` and `cations`, under `folder` and hands back what is
 * true of it. The same seed writes the same bytes.
 */
export function generateSecond(seed: number, folder: string): InvestigationTruth {
  mkdirSync(folder, { recursive: true });
  const samples = samplesOf(seed);
  return {
    generator: "second",
    seed,
    batches: [
      writeChannel(seed, ANION_METHOD, samples, join(folder, "anions")),
      writeChannel(seed, CATION_METHOD, samples, join(folder, "cations")),
    ],
  };
}
