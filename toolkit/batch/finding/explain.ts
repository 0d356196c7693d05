import { DISPLAY, displayOf } from "../../display.js";
import { backFactor } from "../quantify/sample-results.js";
import type { Batch, Explanation, Results, SampleResult } from "../types.js";
import { explanationSteps, type ResultEvidence } from "./explanation-steps.js";
import { findIon } from "./find-ion.js";
import { findSample } from "./find-sample.js";
import { traceOf } from "./find-trace.js";
import { cautions, flagWords } from "./flag-words.js";
import { governingChecks } from "./governing-checks.js";

/**
 * The row of one sample and one ion.
 *
 * @throws IonbookError "unknown-sample", "several-samples", "unknown-ion", "not-measured"
 */
export function findResult(results: Results, sampleWanted: string, ionWanted: string): SampleResult {
  const sample = findSample(results, sampleWanted, ionWanted);
  const ion = findIon(results, ionWanted);
  const row = results.samples.find((each) => each.sample === sample && each.ion === ion);
  // quantify writes every sample and ion once; without the row the results were made by hand.
  if (row === undefined) throw new Error(`these results hold no row for ${ion} in ${sample}`);
  return row;
}

/**
 * Where a result comes from: budget, checks, and every step back to the raw file with its hash.
 *
 * @throws IonbookError as `findResult`
 */
export function explain(results: Results, sampleWanted: string, ionWanted: string): Explanation {
  const result = findResult(results, sampleWanted, ionWanted);
  const evidence = evidenceOf(results, result);
  const { injectedConcentration, calibration, peak, injection, file } = evidence;
  return {
    kind: "explanation",
    sample: result.sample,
    ion: result.ion,
    result,
    interval: result.value?.interval(),
    budget: result.value?.budget() ?? [],
    injectedConcentration,
    calibration,
    peak,
    injection,
    file,
    checks: governingChecks(results, result, injectedConcentration),
    cautions: cautions(result.flags).map(flagWords),
    steps: explanationSteps(evidence),
    toString() {
      return textOf(this);
    },
    [DISPLAY]() {
      return displayOf(this);
    },
  };
}

function evidenceOf(results: Results, result: SampleResult): ResultEvidence {
  const batch = results.batches.find((each) => each.method.channel === result.channel);
  const trace =
    result.injection === undefined ? undefined : traceOf(results, result.channel, result.injection);
  const injection = trace?.injection;
  const sample = batch?.samples.find((each) => each.sample === result.sample);
  const factor =
    injection !== undefined && sample !== undefined
      ? backFactor(injection, sample, result.channel, result.ion)
      : undefined;
  return {
    result,
    sample,
    factor,
    injectedConcentration:
      result.value !== undefined && factor !== undefined ? result.value.value / factor.value : undefined,
    calibration: results.calibrations.find(
      (each) => each.ion === result.ion && each.channel === result.channel,
    ),
    methodIon: batch?.method.ions.find((each) => each.ion === result.ion),
    trace,
    peak: trace?.peaks.find((each) => each.ion === result.ion),
    injection,
    folder: batch?.folder,
    file: injection && fileOf(batch, injection.signal),
  };
}

function fileOf(batch: Batch | undefined, signal: string): Explanation["file"] {
  return batch?.files.find(({ path }) => path === signal);
}

/** Most rows of the budget that the text shows. */
const MOST = 6;

function textOf(explanation: Explanation): string {
  const { sample, ion, result, budget, checks, cautions: known, steps } = explanation;
  const rows = budget
    .filter((row) => row.share >= 0.005)
    .slice(0, MOST)
    .map((row) => `  ${(100 * row.share).toFixed(0).padStart(3)} % of u²  ${row.source}`);
  const failed = checks.filter((check) => !check.passed).length;
  return [
    `${ion} in ${sample}: ${result.value ?? "no value"} (${result.status})`,
    ...known,
    ...(rows.length > 0 ? ["The uncertainty consists of", ...rows] : []),
    ...steps.slice(1).map(({ step, sentences }) => `← ${step}: ${sentences.join(" ")}`),
    ...(checks.length > 0 ? [`${checks.length} checks govern it, ${failed} of them failed.`] : []),
  ].join("\n");
}
