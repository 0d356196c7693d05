import { IonbookError } from "../errors.js";
import { type EluentProgram, type EluentSegment, eluentSegments } from "./eluent-program.js";

/** How strongly a column holds an ion: log₁₀ k = a − b·log₁₀ c, c the eluent concentration in mmol/L. */
export interface RetentionModel {
  /** log₁₀ of the retention factor at 1 mmol/L. */
  readonly a: number;
  /** Slope, close to the ratio of the charges of ion and eluent ion. */
  readonly b: number;
}

/** The two times that belong to column and instrument rather than to the ion. */
export interface ColumnTimes {
  /** Time an unretained ion needs through the column, min. */
  readonly holdUpTime: number;
  /** Time from the gradient former to the column inlet, min. @default 0 */
  readonly dwellTime?: number;
}

/** Where and how an ion leaves the column. */
export interface Elution {
  /** min after injection */
  readonly retentionTime: number;
  /** Eluent around the ion as it leaves, mmol/L. */
  readonly exitConcentration: number;
  /** Retention factor as it leaves. */
  readonly exitRetentionFactor: number;
}

/**
 * Retention factor at one eluent concentration: k = 10^a · c^(−b).
 *
 * @param concentration c, mmol/L, above 0
 * Valid at trace load, for an eluent whose ion and the analyte keep their charges.
 * @source ion-exchange equilibrium with fitted slope (log–log model; derived)
 */
export function retentionFactor(model: RetentionModel, concentration: number): number {
  return 10 ** model.a * concentration ** -model.b;
}

/**
 * Retention time under any programme of straight stretches, in closed form.
 *
 * With ξ = t − z·t₀ (when the eluent now around the ion entered the column) the ion leaves when
 * ∫₀^ξ* dξ/k(c(ξ)) = t₀, then t_R = ξ* + t₀. A stretch at constant c contributes Δξ·c^b/10^a, a ramp of slope g
 * (c₂^(b+1) − c₁^(b+1))/(g(b+1)·10^a).
 *
 * Symbols: t₀ hold-up time (min), c eluent concentration at the inlet (mmol/L), g slope (mmol/L per min).
 * Valid for an unretained eluent and a gradient that reaches the column undistorted; slopes of either sign.
 * @throws IonbookError "bad-program" (see `eluentSegments`), "bad-hold-up-time" when t₀ is not above 0
 * @source migration equation of gradient elution (derived); P. Jandera and J. Churáček (from memory)
 */
export function predictRetention(model: RetentionModel, program: EluentProgram, times: ColumnTimes): Elution {
  const { holdUpTime, dwellTime = 0 } = times;
  if (!(holdUpTime > 0)) {
    throw new IonbookError("bad-hold-up-time", `The hold-up time is ${holdUpTime} min: it must be above 0`);
  }
  let need = holdUpTime;
  for (const segment of eluentSegments(program, dwellTime)) {
    const gain = travelGain(model, segment);
    if (gain >= need) {
      const { inlet, concentration } = leaveWithin(model, segment, need);
      return {
        retentionTime: inlet + holdUpTime,
        exitConcentration: concentration,
        exitRetentionFactor: retentionFactor(model, concentration),
      };
    }
    need -= gain;
  }
  throw new Error("the last stretch of a programme has no end, so every ion leaves within it");
}

/** ∫dξ/k over the stretch. */
function travelGain(model: RetentionModel, { start, end, concentration, slope }: EluentSegment): number {
  const at1 = 10 ** model.a;
  if (slope === 0) return ((end - start) * concentration ** model.b) / at1;
  const power = model.b + 1;
  const last = concentration + slope * (end - start);
  return (last ** power - concentration ** power) / (slope * power * at1);
}

/** Inlet time and concentration of the eluent that carries the ion out, `need` of ∫dξ/k into the stretch. */
function leaveWithin(
  model: RetentionModel,
  segment: EluentSegment,
  need: number,
): { inlet: number; concentration: number } {
  const { start, concentration, slope } = segment;
  if (slope === 0) return { inlet: start + need * retentionFactor(model, concentration), concentration };
  const power = model.b + 1;
  const exit = (concentration ** power + need * slope * power * 10 ** model.a) ** (1 / power);
  return { inlet: start + (exit - concentration) / slope, concentration: exit };
}

/**
 * The isocratic eluent concentration at which two ions leave together, mmol/L: log₁₀ c = (a₁ − a₂)/(b₁ − b₂);
 * undefined for equal slopes, which never cross (or always coincide).
 *
 * @source equal retention factors of two log–log lines (derived)
 */
export function crossingConcentration(first: RetentionModel, second: RetentionModel): number | undefined {
  return first.b === second.b ? undefined : 10 ** ((first.a - second.a) / (first.b - second.b));
}
