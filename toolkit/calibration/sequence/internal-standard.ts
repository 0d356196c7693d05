import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { calibrate } from "../curve/calibrate.js";
import { levelsOf } from "../response/levels.js";
import type { CalibrateOptions, Calibration } from "../response/types.js";
import { type ResponseDrift, responseDrift } from "./response-drift.js";

/** One injection: the ion and the internal standard beside it. */
export interface InternalReading {
  readonly response: number;
  /** Response of the internal standard. */
  readonly internal: number;
  /** Content of the internal standard where it is not the same in all injections; any one unit. @default 1 */
  readonly internalConcentration?: number;
  readonly label?: string;
}

export interface InternalStandardOptions
  extends Pick<CalibrateOptions, "model" | "weighting" | "ion" | "unit"> {
  /** Name of the internal standard, for headings. */
  readonly internalStandard?: string;
  /** Recoveries of the internal standard that are let pass, %. @default [90, 115] */
  readonly recoveryPercent?: readonly [low: number, high: number];
}

/** Recovery of the internal standard in one injection. */
export interface InternalRecovery {
  readonly label: string;
  readonly role: "standard" | "sample";
  /** Against the mean of the standards. */
  readonly percent: number;
  readonly passed: boolean;
}

/** Results by the ratio to an internal standard, and whether that was worth while. */
export interface InternalStandardStudy {
  readonly kind: "internal-standard";
  readonly ion: string | undefined;
  readonly internalStandard: string;
  /** Ratio of the responses over the contents. */
  readonly curve: Calibration;
  readonly samples: readonly {
    readonly label: string;
    readonly concentration: MeasuredValue;
    readonly flagged: boolean;
  }[];
  readonly recoveries: readonly InternalRecovery[];
  readonly recoveryPercent: readonly [low: number, high: number];
  /** Of the internal standard over the injections in their order; undefined for fewer than three. */
  readonly drift: ResponseDrift | undefined;
  /** Scatter of the standards' ratios and of their plain responses, relative, %. */
  readonly scatterPercent: { readonly ratio: number; readonly response: number };
  /** The ratio scatters less: the internal standard earns its place. */
  readonly useful: boolean;
  readonly source: string;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const KNOWN = {
  model: true,
  weighting: true,
  ion: true,
  unit: true,
  internalStandard: true,
  recoveryPercent: true,
} as const;
const RECOVERY = [90, 115] as const;
const SOURCE =
  "recovery 90 to 115 %: US EPA 300.1 (from memory); use only where RSD(ratio) < RSD(area): common practice, no source";

/**
 * Calibration of the ratio to an internal standard: y/y_IS·x_IS over x, the samples by the same ratio.
 *
 *     recovery = 100·y_IS/(x_IS·mean of the standards' y_IS/x_IS)
 *
 * It corrects injection volume and common drift, not what acts on one ion alone. The scatter is the pooled relative
 * standard deviation within levels where some are injected again, else the relative standard error of the two curves.
 *
 * @param data standards with their contents and samples, each in the order of injection, standards first
 * @throws IonbookError "bad-readings", "no-internal-standard" for a response of the internal standard that is not above 0,
 *   "not-a-number", "bad-option", "unknown-option"; and what `calibrate` throws
 * @source acceptance: US EPA 300.1 (from memory); use: common practice, no source
 */
export function internalStandard(
  data: {
    readonly standards: readonly (InternalReading & { readonly concentration: number })[];
    readonly samples?: readonly InternalReading[];
  },
  options: InternalStandardOptions = {},
): InternalStandardStudy {
  requireKnownOptions(options, KNOWN, "internalStandard");
  const { internalStandard: name = "internal standard", recoveryPercent = RECOVERY } = options;
  requireLimits(recoveryPercent);
  const { standards, samples = [] } = data ?? {};
  if (!Array.isArray(standards) || !Array.isArray(samples)) {
    throw new IonbookError(
      "bad-readings",
      "internalStandard needs standards and samples: internalStandard({ standards: [{ concentration, response, internal }, …], samples: [{ response, internal }, …] })",
    );
  }
  [...standards, ...samples].forEach(requireReading);
  const { ion, model, weighting, unit } = options;
  const settings = {
    ...(ion !== undefined && { ion }),
    ...(model !== undefined && { model }),
    ...(weighting !== undefined && { weighting }),
    ...(unit !== undefined && { unit }),
  };
  const points = standards.map((each) => ({ concentration: each.concentration, response: ratioOf(each) }));
  const curve = calibrate(points, settings);
  const plain = calibrate(
    standards.map(({ concentration, response }) => ({ concentration, response })),
    settings,
  );
  const scatterPercent = { ratio: scatterOf(curve), response: scatterOf(plain) };
  const recoveries = recoveriesOf(standards, samples, recoveryPercent);
  const study: InternalStandardStudy = {
    kind: "internal-standard",
    ion: curve.ion,
    internalStandard: name,
    curve,
    samples: samples.map((sample, i) => {
      const { label, passed } = recoveries[standards.length + i];
      const concentration = curve.concentration(ratioOf(sample), { source: `ratio of ${label}` });
      return { label, concentration, flagged: !passed };
    }),
    recoveries,
    recoveryPercent,
    drift: driftOf([...standards, ...samples], name),
    scatterPercent,
    useful: scatterPercent.ratio < scatterPercent.response,
    source: SOURCE,
    toString: () => studyText(study),
    [DISPLAY]: () => displayOf(study),
  };
  return study;
}

function ratioOf({ response, internal, internalConcentration = 1 }: InternalReading): number {
  return (response * internalConcentration) / internal;
}

function recoveriesOf(
  standards: readonly InternalReading[],
  samples: readonly InternalReading[],
  [low, high]: readonly [number, number],
): readonly InternalRecovery[] {
  const perContent = ({ internal, internalConcentration = 1 }: InternalReading) =>
    internal / internalConcentration;
  const mean = standards.reduce((sum, each) => sum + perContent(each), 0) / standards.length;
  const recovery = (role: "standard" | "sample") => (reading: InternalReading, i: number) => {
    const percent = (100 * perContent(reading)) / mean;
    return {
      label: reading.label ?? `${role} ${i + 1}`,
      role,
      percent,
      passed: percent >= low && percent <= high,
    };
  };
  return [...standards.map(recovery("standard")), ...samples.map(recovery("sample"))];
}

function driftOf(readings: readonly InternalReading[], ion: string): ResponseDrift | undefined {
  if (readings.length < 3) return undefined;
  const checks = readings.map(({ internal, internalConcentration = 1 }, i) => ({
    position: i + 1,
    response: internal,
    concentration: internalConcentration,
  }));
  return responseDrift(checks, { ion });
}

/** Within levels where any is injected again, else about the curve; %. */
function scatterOf(curve: Calibration): number {
  let [squares, dof] = [0, 0];
  for (const { concentration, members } of levelsOf(curve.points)) {
    if (concentration === 0) continue;
    const responses = members.map((i) => curve.points[i].response);
    const mean = responses.reduce((sum, y) => sum + y, 0) / responses.length;
    for (const y of responses) squares += (y / mean - 1) ** 2;
    dof += responses.length - 1;
  }
  return dof > 0 ? 100 * Math.sqrt(squares / dof) : curve.relativeStandardErrorPercent;
}

function studyText(study: InternalStandardStudy): string {
  const {
    ion,
    internalStandard: name,
    samples,
    scatterPercent,
    useful,
    recoveries,
    recoveryPercent,
    drift,
  } = study;
  const { ratio, response } = scatterPercent;
  const out = recoveries.filter(({ passed }) => !passed);
  return [
    `${ion ?? "content"} by the ratio to ${name}: ${useful ? "worth while" : "not worth while"}, the ratio scatters by ${ratio.toFixed(2)} %, the response alone by ${response.toFixed(2)} %`,
    ...samples.map(
      ({ label, concentration, flagged }) =>
        `  ${label}: ${concentration}${flagged ? ", recovery out of limits" : ""}`,
    ),
    out.length === 0
      ? `  recovery of ${name} within ${recoveryPercent.join(" to ")} % in all injections`
      : `  recovery of ${name} out of ${recoveryPercent.join(" to ")} %: ${out.map(({ label, percent }) => `${label} ${percent.toFixed(0)} %`).join(", ")}`,
    ...(drift ? [`  ${drift}`] : []),
  ].join("\n");
}

function requireReading(reading: InternalReading, i: number): void {
  const { response, internal, internalConcentration = 1 } = reading ?? {};
  if (![response, internal, internalConcentration].every(Number.isFinite)) {
    throw new IonbookError(
      "not-a-number",
      `Injection ${i + 1} has response ${response} and internal standard ${internal}: both must be numbers`,
    );
  }
  if (internal > 0 && internalConcentration > 0) return;
  throw new IonbookError(
    "no-internal-standard",
    `Injection ${i + 1} shows no internal standard (${internal}): it cannot be corrected; look for a missed addition`,
  );
}

function requireLimits(limits: readonly [number, number]): void {
  if (Array.isArray(limits) && limits.length === 2 && limits[0] > 0 && limits[1] > limits[0]) return;
  throw new IonbookError(
    "bad-option",
    `recoveryPercent is ${String(limits)}; give two percentages, [90, 115]`,
  );
}
