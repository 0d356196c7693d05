import { ion as ionOf } from "../../ions/ion-table.js";
import { convert } from "../../ions/units.js";
import { reportedResult } from "../../limits/reported-result.js";
import { sampleLimits } from "../../limits/sample-limits.js";
import { exactly, type MeasuredValue, measured, propagate } from "../../uncertainty/measured.js";
import type { Channel, Injection, ResultStatus, Sample, SampleResult } from "../types.js";
import { type IonCurve, integrationSource } from "./calibrate-ions.js";
import type { EvaluatedChannel } from "./evaluate-channel.js";
import { type InjectedConcentration, injectedConcentration } from "./injected-concentration.js";
import type { IonLimits } from "./ion-limits.js";
import type { InjectionRepeatability } from "./repeatability.js";

/**
 * Factor between the injected concentration (mg/L) and the sample's reporting unit, with its sources.
 *
 *     direct   D
 *     extract  D·(V + m(1 − d)/ρ)/m, over d as well for dry matter
 *
 * D dilution, V volume of extractant added (mL), m mass as received (g), d dry fraction (1 where not stated),
 * ρ = 1 g/mL; mg/kg per mg/L.
 */
export function backFactor(
  injection: Injection,
  sample: Sample,
  channel: Channel,
  ionName: string,
): MeasuredValue {
  const dilution =
    injection.uDilution > 0
      ? measured(
          injection.dilution,
          "1",
          { u: injection.uDilution },
          { source: `dilution of ${sample.sample} ×${injection.dilution} (${channel})` },
        )
      : exactly(injection.dilution, "1");
  if (sample.preparation === "direct") {
    const perUnit = convert(1, "mg/L", sample.unit as "mg/L", ionName);
    return perUnit === 1 ? dilution : propagate((x) => x.dilution * perUnit, { dilution }, "1");
  }
  const { massGrams = Number.NaN, uMassGrams, volumeMilliliters = Number.NaN, uVolumeMilliliters } = sample;
  const { dryFraction = 1 } = sample;
  const basis = sample.unit === "mg/kg dry" ? dryFraction : 1;
  const mass = quantity(massGrams, "g", uMassGrams, `mass of ${sample.sample}`);
  const volume = quantity(volumeMilliliters, "mL", uVolumeMilliliters, `volume of ${sample.sample}`);
  // The extractant was added to the moist solid: its own water (1 g/mL) dilutes the extract too.
  return propagate(
    (x) => (x.dilution * (x.volume + x.mass * (1 - dryFraction))) / (x.mass * basis),
    { dilution, mass, volume },
    "1",
  );
}

function quantity(value: number, unit: string, u: number, source: string): MeasuredValue {
  return u > 0 ? measured(value, unit, { u }, { source }) : exactly(value, unit);
}

/**
 * The injection of a sample from which an ion is reported: the strongest response that is still inside the
 * calibrated range; the least diluted where all lie below it, the most diluted where all lie above.
 */
export function bestDilution(
  found: readonly InjectedConcentration[],
  highestLevel: number,
): InjectedConcentration {
  const inside = found.filter((f) => f.concentration.value <= highestLevel);
  if (inside.length === 0) {
    return found.reduce((a, b) => (b.run.injection.dilution > a.run.injection.dilution ? b : a));
  }
  return inside.reduce((a, b) => {
    if (a.run.injection.dilution !== b.run.injection.dilution)
      return b.run.injection.dilution < a.run.injection.dilution ? b : a;
    return a;
  });
}

/** State of a result by the limits in force, all in mg/L as injected. */
export function statusOf(concentration: number, limits: IonLimits, highestLevel: number): ResultStatus {
  if (concentration > highestLevel) return "above range";
  if (concentration < limits.criticalValue) return "not detected";
  if (concentration < limits.quantificationLimit) return "below quantification";
  return "quantified";
}

/** Results of one channel: every sample and every ion of the method once. */
export function sampleResults(
  channel: EvaluatedChannel,
  curves: readonly (IonCurve | undefined)[],
  limits: readonly (IonLimits | undefined)[],
  repeatability: InjectionRepeatability,
): SampleResult[] {
  const { batch } = channel;
  return batch.samples.flatMap((sample): SampleResult[] => {
    const runs = channel.runs.filter(
      (r) => r.injection.kind === "sample" && r.injection.solution === sample.sample,
    );
    if (runs.length === 0) return [];
    return channel.ions.map((method, j) => {
      const none = emptyResult(sample, method.ion, batch.method.channel);
      const curve = curves[j];
      const limit = limits[j];
      if (!curve || !limit) return { ...none, flags: ["too few standards show this ion"] };
      const found = runs.flatMap((run) => injectedConcentration(run, j, curve, repeatability) ?? []);
      if (found.length === 0) return { ...none, flags: ["outside the evaluated stretch"] };
      const best = bestDilution(found, curve.highestLevel);
      const factor = backFactor(best.run.injection, sample, batch.method.channel, method.ion);
      const value = propagate((x) => x.c * x.factor, { c: best.concentration, factor }, sample.unit);
      const status = statusOf(best.concentration.value, limit, curve.highestLevel);
      const noiseRatio =
        status === "not detected" ? noiseRatioOf(best, integrationSource(method.ion, best.run), limit) : 1;
      const report = reportOf(value, limit, factor.value, noiseRatio);
      const { detectedBelowReporting } = report.reported;
      return {
        ...none,
        value,
        status,
        ...report,
        dilution: best.run.injection.dilution,
        injection: best.run.injection.id,
        flags: [
          ...resultFlags(best, channel),
          ...(noiseRatio > CLEARLY_WORSE ? [LIMITS_OF_TRACE] : []),
          ...(detectedBelowReporting ? ["below reporting limit"] : []),
        ],
      };
    });
  });
}

/** The flag of a result whose limits are not those of the blanks. */
const LIMITS_OF_TRACE = "limits of this trace";
/** One-sided normal quantile of 5 %, as in the limits from blanks. */
const ONE_SIDED = 1.645;
/** Up to this, a trace's own error and that of the blanks are the same within what either is known to. */
const CLEARLY_WORSE = 2;

/**
 * How much wider than a blank's the trace of an ion that was not detected scatters: the limits told for this sample are
 * wider in the same ratio, so that nothing is said to be below a limit that a giant or a hump beside it would hide.
 */
function noiseRatioOf(
  { concentration }: InjectedConcentration,
  integration: string,
  { criticalValue }: IonLimits,
): number {
  const u = concentration.budget().find(({ source }) => source === integration)?.contribution ?? 0;
  return Math.max(1, (ONE_SIDED * u) / criticalValue);
}

/** The sample's own limits and how its value is printed by them. */
function reportOf(value: MeasuredValue, limits: IonLimits, factor: number, noiseRatio: number) {
  const { criticalValue, detectionLimit, quantificationLimit } = sampleLimits(limits, {
    preparation: factor,
    noiseRatio,
  });
  // Nothing is reported below what this sample can be quantified at, whatever a contract asks.
  const reportingLimit =
    limits.reportingLimit === undefined ? undefined : Math.max(limits.reportingLimit, quantificationLimit);
  const own = { criticalValue, detectionLimit, quantificationLimit, reportingLimit };
  return { ...own, limitDefinition: limits.definition, reported: reportedResult(value, own) };
}

function emptyResult(sample: Sample, ionName: string, channel: Channel): SampleResult {
  return {
    sample: sample.sample,
    ion: ionName,
    channel,
    value: undefined,
    unit: sample.unit,
    status: "not measured",
    detectionLimit: undefined,
    quantificationLimit: undefined,
    dilution: undefined,
    injection: undefined,
    flags: [],
  };
}

function resultFlags(best: InjectedConcentration, channel: EvaluatedChannel): string[] {
  const { peak } = best;
  const flags = [...peak.flags];
  if (peak.time < channel.stretch.voidEnd) flags.push("near void");
  if (peak.raw === undefined) flags.push("no peak found");
  else if (peak.rule !== "summation") flags.push(peak.rule);
  return flags;
}

/** Rows for the ions a method does not cover, one for each sample. */
export function notMeasuredResults(channel: EvaluatedChannel): SampleResult[] {
  const { batch } = channel;
  const injected = new Set(
    channel.runs.filter((r) => r.injection.kind === "sample").map((r) => r.injection.solution),
  );
  return batch.samples
    .filter((s) => injected.has(s.sample))
    .flatMap((sample) =>
      batch.method.notMeasured.map((name) => emptyResult(sample, ionOf(name).name, batch.method.channel)),
    );
}
