import { calibrate } from "../../calibration/curve/calibrate.js";
import type { Calibration, StandardReading } from "../../calibration/response/types.js";
import { fromSources, type MeasuredValue } from "../../uncertainty/measured.js";
import type { CalibrationPoint, Channel, MethodIon, SolutionIon } from "../types.js";
import type { EvaluatedChannel, EvaluatedPeak, EvaluatedRun } from "./evaluate-channel.js";
import type { InjectionRepeatability } from "./repeatability.js";

/** A response curve with the points it was made from. */
export interface IonCurve {
  readonly ion: MethodIon;
  readonly curve: Calibration;
  readonly points: readonly CalibrationPoint[];
  /** Relative standard uncertainty for what the model cannot follow. */
  readonly modelMisfit: number;
  readonly lowestLevel: number;
  readonly highestLevel: number;
}

/** Area of a peak with its own uncertainties, signal × samples. */
export type MeasuredArea = Pick<EvaluatedPeak, "area" | "uNoise" | "uIntegration" | "ion">;

/**
 * What a curve of two or three coefficients cannot follow between its levels, relative, even where the points show no
 * misfit (common practice, no source; suppressed conductivity over three decades leaves 0.05–0.4 %).
 */
const UNSEEN_MISFIT = 0.001;
/** χ² beyond its expectation by this factor means that the model does not follow the points. */
const MISFIT_FROM = 1.5;
const ROUNDING = 1e-9;

/**
 * Peak area as a measured value, µS/cm·min: noise, integration and traces from vial and water are the reading's own, the
 * injected amount is shared by all ions of the injection.
 */
export function areaOf(
  run: EvaluatedRun,
  peak: MeasuredArea,
  name: string,
  repeatability: InjectionRepeatability,
): MeasuredValue {
  const scale = run.trace.interval;
  const id = injectionName(run);
  const area = peak.area * scale;
  const traces = peak.ion === undefined ? 0 : repeatability.traces[peak.ion];
  return fromSources(area, "µS/cm·min", [
    { source: `noise under ${name} in ${id}`, contribution: peak.uNoise * scale },
    { source: integrationSource(name, run), contribution: peak.uIntegration * scale },
    ...(traces > 0 ? [{ source: `traces of ${name} in ${id}`, contribution: traces * scale }] : []),
    { source: `injection ${id}`, contribution: repeatability.relative * area, dof: repeatability.dof },
  ]);
}

/** Two folders may use the same ids: only the channel makes an injection one of its kind. */
function injectionName(run: EvaluatedRun): string {
  return `${run.injection.id} (${run.channel})`;
}

/** Name of the source that baseline, rule and neighbours of one peak are in the uncertainty of its area. */
export function integrationSource(name: string, run: EvaluatedRun): string {
  return `integration of ${name} in ${injectionName(run)}`;
}

export function peakOf(run: EvaluatedRun, ion: number): EvaluatedPeak | undefined {
  return run.peaks.find((p) => p.ion === ion);
}

/** Free coefficients of each model: a curve needs more points than that. */
const COEFFICIENTS = { linear: 2, "through-zero": 1, quadratic: 3, weak: 2 } as const;

/** Fits the curve of one ion of the method; undefined where too few standards show it. */
export function curveOf(
  channel: EvaluatedChannel,
  j: number,
  repeatability: InjectionRepeatability,
): IonCurve | undefined {
  const ion = channel.ions[j];
  const readings = standardReadings(channel, j, repeatability);
  const used = readings.filter((r) => r.rejected === undefined);
  const levelsUsed = new Set(used.map((r) => r.reading.concentration)).size;
  if (used.length <= COEFFICIENTS[ion.model] || levelsUsed < COEFFICIENTS[ion.model]) return undefined;
  const curve = calibrate(
    used.map((r) => r.reading),
    {
      model: ion.model,
      weighting: ion.weighting,
      ion: ion.ion,
      name: `curve of ${ion.ion}`,
      covarianceFrom: { responseVariances: used.map((r) => r.uArea ** 2) },
    },
  );
  const found = curve.backCalculated();
  const errors = new Map(used.map((r, i) => [r, found[i].relativeErrorPercent]));
  const levels = used.map((r) => r.reading.concentration);
  return {
    ion,
    curve,
    points: readings.map((r) => ({
      injection: r.injection,
      solution: r.solution,
      concentration: r.reading.concentration,
      area: r.reading.response,
      uArea: r.uArea,
      rejected: r.rejected,
      relativeErrorPercent: errors.get(r) ?? Number.NaN,
    })),
    modelMisfit: misfit(curve, used),
    lowestLevel: Math.min(...levels.filter((c) => c > 0)),
    highestLevel: Math.max(...levels),
  };
}

interface Reading {
  readonly injection: string;
  readonly solution: string;
  readonly reading: StandardReading;
  readonly uArea: number;
  readonly rejected: string | undefined;
}

function standardReadings(
  channel: EvaluatedChannel,
  j: number,
  repeatability: InjectionRepeatability,
): Reading[] {
  const name = channel.ions[j].ion;
  const weighted = channel.ions[j].weighting !== "none" || channel.ions[j].model === "weak";
  return channel.runs.flatMap((run): Reading[] => {
    if (run.injection.kind !== "calibration") return [];
    const row = channel.batch.solutions.find((s) => s.solution === run.injection.solution && s.ion === name);
    const peak = peakOf(run, j);
    if (!row || !peak) return [];
    const { dilution, uDilution, id } = run.injection;
    const concentration = row.concentration / dilution;
    const area = areaOf(run, peak, name, repeatability);
    let rejected: string | undefined;
    if (row.concentration === 0) {
      if (weighted) rejected = "a zero level carries no weight under this weighting";
    } else if (peak.raw === undefined) rejected = "no peak found";
    else rejected = outsideRange(concentration, channel.ions[j].range);
    return [
      {
        injection: id,
        solution: row.solution,
        uArea: area.u,
        rejected,
        reading: {
          concentration,
          response: area.value,
          label: `level ${row.solution}, injection ${id}`,
          sources: [
            ...sourcesOfStandard(row, run.channel).map((s) => ({
              ...s,
              contribution: s.contribution / dilution,
            })),
            ...(uDilution > 0
              ? [
                  {
                    source: `dilution of ${row.solution} ×${dilution} (${run.channel})`,
                    contribution: (concentration * uDilution) / dilution,
                  },
                ]
              : []),
          ],
        },
      },
    ];
  });
}

/** Why a level does not count; a rounding of the dilution does not put one out. */
function outsideRange(concentration: number, range: MethodIon["range"]): string | undefined {
  if (range === undefined) return undefined;
  const [low, high] = range;
  const within = concentration >= low * (1 - ROUNDING) && concentration <= high * (1 + ROUNDING);
  return within ? undefined : `outside the range of the method, ${low} to ${high} mg/L`;
}

/** A standard's error as named sources: the certified stock's, shared with all its solutions on both channels, and its own. */
export function sourcesOfStandard(
  row: SolutionIon,
  channel: Channel,
): { readonly source: string; readonly contribution: number }[] {
  const own = Math.sqrt(Math.max(row.u ** 2 - row.uStock ** 2, 0));
  return [
    ...(row.uStock > 0 ? [{ source: `stock ${row.stock ?? row.solution}`, contribution: row.uStock }] : []),
    ...(own > 0 ? [{ source: `solution ${row.solution} (${channel})`, contribution: own }] : []),
  ];
}

/** Relative scatter of the level means about the curve beyond what the readings and standards explain. */
function misfit(curve: Calibration, used: readonly Reading[]): number {
  if (!(curve.covarianceBasis.inflation > MISFIT_FROM)) return UNSEEN_MISFIT;
  const levels = new Map<number, Reading[]>();
  for (const r of used)
    levels.set(r.reading.concentration, [...(levels.get(r.reading.concentration) ?? []), r]);
  const found = curve.backCalculated();
  let excess = 0;
  for (const [concentration, readings] of levels) {
    if (concentration === 0) continue;
    const mean =
      readings.reduce((sum, r) => sum + found[used.indexOf(r)].relativeErrorPercent / 100, 0) /
      readings.length;
    const slope = readings[0].reading.response / concentration;
    const reading =
      readings.reduce((sum, r) => sum + (r.uArea / slope / concentration) ** 2, 0) / readings.length ** 2;
    const own = (readings[0].reading.sources ?? []).reduce(
      (sum, s) => sum + (s.source.startsWith("stock") ? 0 : s.contribution ** 2),
      0,
    );
    excess += mean * mean - reading - own / concentration ** 2;
  }
  return Math.hypot(
    UNSEEN_MISFIT,
    Math.sqrt(Math.max(excess, 0) / Math.max(levels.size - curve.coefficients.length, 1)),
  );
}
