import type {
  CheckResult,
  IonCalibration,
  PeakResult,
  Results,
  SampleBalance,
  SampleResult,
} from "../types.js";
import { type Cell, csvText } from "./csv.js";

/**
 * The tables of a batch's results by file name: results.csv, peaks.csv, calibration.csv, checks.csv, and
 * balance.csv where both channels are given. Values in each sample's own unit, times in min, areas in
 * µS/cm·min, calibration in mg/L as injected; intervals at 95 %.
 */
export function resultTables(results: Results): Record<string, string> {
  const tables: Record<string, string> = {
    "results.csv": table(RESULT_COLUMNS, results.samples),
    "peaks.csv": table(PEAK_COLUMNS, results.peaks),
    "calibration.csv": table(CALIBRATION_COLUMNS, results.calibrations),
    "checks.csv": table(CHECK_COLUMNS, results.checks),
  };
  const channels = new Set(results.batches.map((batch) => batch.method.channel));
  if (channels.size === 2) tables["balance.csv"] = table(BALANCE_COLUMNS, results.balances);
  return tables;
}

/** The columns of one table in order: title and what stands below it. */
type Columns<Row> = Readonly<Record<string, (row: Row) => Cell>>;

function table<Row>(columns: Columns<Row>, rows: readonly Row[]): string {
  const cells = Object.values(columns);
  return csvText(
    Object.keys(columns),
    rows.map((row) => cells.map((cell) => cell(row))),
  );
}

/** Several short texts in one cell; a separator inside one of them would split it. */
function list(texts: readonly string[]): string {
  return texts.map((text) => text.replaceAll(";", ",")).join(";");
}

const RESULT_COLUMNS: Columns<SampleResult> = {
  sample: (row) => row.sample,
  ion: (row) => row.ion,
  value: (row) => row.value?.value,
  unit: (row) => row.unit,
  u: (row) => row.value?.u,
  dof: (row) => row.value?.dof,
  low95: (row) => row.value?.interval(0.95).low,
  high95: (row) => row.value?.interval(0.95).high,
  status: (row) => row.status,
  dilution: (row) => row.dilution,
  injection: (row) => row.injection,
  flags: (row) => list(row.flags),
};

const PEAK_COLUMNS: Columns<PeakResult> = {
  injection: (row) => row.injection,
  ion: (row) => row.ion,
  retention_time: (row) => row.retentionTime,
  area: (row) => row.area.value,
  u_area: (row) => row.area.u,
  height: (row) => row.height,
  width_half: (row) => row.widthHalf,
  tailing: (row) => row.tailing,
  resolution_next: (row) => row.resolutionNext,
  signal_to_noise: (row) => row.signalToNoise,
  identity: (row) => row.identity,
};

const CALIBRATION_COLUMNS: Columns<IonCalibration> = {
  ion: (row) => row.ion,
  model: (row) => row.model,
  weighting: (row) => row.weighting,
  b0: (row) => byPower(row, row.curve.coefficients, 0),
  b1: (row) => byPower(row, row.curve.coefficients, 1),
  b2: (row) => byPower(row, row.curve.coefficients, 2),
  u_b0: (row) => byPower(row, row.curve.standardErrors, 0),
  u_b1: (row) => byPower(row, row.curve.standardErrors, 1),
  u_b2: (row) => byPower(row, row.curve.standardErrors, 2),
  residual_sd: (row) => row.curve.residualStandardDeviation,
  dof: (row) => row.curve.dof,
  low: (row) => row.low,
  high: (row) => row.high,
  lod: (row) => row.lod,
  loq: (row) => row.loq,
  mdl: (row) => row.mdl,
  verdict: (row) => row.verdict,
};

/** The coefficient of a power; "weak" has its two, of y and y², in the places of the first and second power. */
function byPower(row: IonCalibration, values: readonly number[], power: number): number | undefined {
  return row.model === "weak" ? values[power - 1] : values[power];
}

const CHECK_COLUMNS: Columns<CheckResult> = {
  check: (row) => row.check,
  injection: (row) => row.injection,
  ion: (row) => row.ion,
  found: (row) => row.found,
  expected: (row) => row.expected,
  limit: (row) => row.limit,
  passed: (row) => row.passed,
  source: (row) => row.source,
};

const BALANCE_COLUMNS: Columns<SampleBalance> = {
  sample: (row) => row.sample,
  cations_meq_L: (row) => row.cations.value,
  anions_meq_L: (row) => row.anions.value,
  percent_difference: (row) => row.percentDifference.value,
  u_percent: (row) => row.percentDifference.u,
  unknown_anions_meq_L: (row) => row.unknownAnions?.value,
  passed: (row) => row.passed,
  suspects: (row) => list(row.suspects),
};
