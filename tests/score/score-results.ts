import type { CalibrationRow, ResultFiles, ResultRow } from "./result-files.js";
import type { InvestigationTruth, TrueSampleValue } from "./truth.js";

/** One reported result beside the truth, all in the sample's reporting unit. */
export interface JudgedResult {
  readonly generator: string;
  readonly seed: number;
  readonly channel: string;
  readonly sample: string;
  readonly ion: string;
  readonly model: string;
  readonly status: string;
  readonly dilution: number;
  readonly injection: string;
  readonly flags: string;
  readonly truth: number;
  readonly found: number;
  readonly u: number;
  /** (found − true)/u */
  readonly z: number;
  readonly inside: boolean;
  /** u/found */
  readonly relativeU: number;
  /** True content over the sample-specific quantification limit at the dilution reported from. */
  readonly timesLimit: number;
  /** True when one of the sample's dilutions puts the content above five times the limit and inside the range. */
  readonly reachable: boolean;
}

export interface ResultsJudged {
  readonly judged: readonly JudgedResult[];
  /** Sample × ion rows that the truth knows and the results lack, have twice or give in another unit. */
  readonly malformed: readonly string[];
}

/** Content that counts as safely above the limit, in quantification limits. */
export const SAFELY_ABOVE = 5;

/** Dilution at which the content lies inside the range and safely above the limit, if any. */
function reachableAt(value: TrueSampleValue, calibration: CalibrationRow): boolean {
  return value.dilutions.some((dilution) => {
    const injected = value.value / (dilution * value.preparationFactor);
    return injected > SAFELY_ABOVE * calibration.loq && injected < 0.97 * calibration.high;
  });
}

function judge(
  truth: InvestigationTruth,
  channel: string,
  value: TrueSampleValue,
  row: ResultRow,
  calibration: CalibrationRow,
): JudgedResult {
  const limit = calibration.loq * row.dilution * value.preparationFactor;
  return {
    generator: truth.generator,
    seed: truth.seed,
    channel,
    sample: value.sample,
    ion: value.ion,
    model: calibration.model,
    status: row.status,
    dilution: row.dilution,
    injection: row.injection,
    flags: row.flags,
    truth: value.value,
    found: row.value,
    u: row.u,
    z: (row.value - value.value) / row.u,
    inside: row.low95 <= value.value && value.value <= row.high95,
    relativeU: row.u / Math.abs(row.value),
    timesLimit: value.value / limit,
    reachable: reachableAt(value, calibration),
  };
}

/** Every sample × ion of the truth beside the row that reports it. */
export function judgeResults(truth: InvestigationTruth, files: ResultFiles): ResultsJudged {
  const judged: JudgedResult[] = [];
  const malformed: string[] = [];
  for (const batch of truth.batches) {
    for (const value of batch.samples) {
      const rows = files.results.filter((row) => row.sample === value.sample && row.ion === value.ion);
      const calibration = files.calibrations.find(({ ion }) => ion === value.ion);
      const where = `seed ${truth.seed}, ${value.sample}, ${value.ion}`;
      if (rows.length !== 1) malformed.push(`${where}: ${rows.length} rows instead of one`);
      else if (calibration === undefined) malformed.push(`${where}: no row in calibration.csv`);
      else if (rows[0].unit !== value.unit)
        malformed.push(`${where}: in ${rows[0].unit}, asked for in ${value.unit}`);
      else if (rows[0].status === "quantified" && !(rows[0].u > 0))
        malformed.push(`${where}: quantified with u = ${rows[0].u}`);
      else judged.push(judge(truth, batch.channel, value, rows[0], calibration));
    }
  }
  return { judged, malformed };
}
