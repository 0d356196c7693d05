import { type MeasuredValue, measured } from "../../uncertainty/measured.js";
import type { Sample } from "../types.js";

/** What was measured of a sample beside its ions. */
export interface FieldMeasurements {
  readonly pH?: MeasuredValue;
  /** mg/L as CaCO3 */
  readonly alkalinity?: MeasuredValue;
  /** °C */
  readonly temperature?: number;
}

/** The batch gives no uncertainty for pH and titrated alkalinity: these stand in (common practice, no source). */
const U_PH = 0.05;
const U_ALKALINITY = { relative: 0.02, leastMgPerL: 1 };

/** pH, alkalinity and temperature of one sample, with uncertainties, from its rows in either channel's batch. */
export function fieldMeasurements(name: string, rows: readonly Sample[]): FieldMeasurements {
  const pick = <K extends "pH" | "alkalinity" | "temperature">(key: K) =>
    rows.map((row) => row[key]).find((value) => value !== undefined);
  const [pH, alkalinity, temperature] = [pick("pH"), pick("alkalinity"), pick("temperature")];
  return {
    ...(pH === undefined ? {} : { pH: measured(pH, "1", { u: U_PH }, { source: `pH of ${name}` }) }),
    ...(alkalinity === undefined ? {} : { alkalinity: titrated(alkalinity, name) }),
    ...(temperature === undefined ? {} : { temperature }),
  };
}

/** Alkalinity, mg/L as CaCO₃, with the uncertainty of a titration. */
function titrated(alkalinity: number, sample: string): MeasuredValue {
  const u = Math.max(U_ALKALINITY.relative * alkalinity, U_ALKALINITY.leastMgPerL);
  return measured(alkalinity, "mg/L as CaCO3", { u }, { source: `alkalinity titration of ${sample}` });
}
