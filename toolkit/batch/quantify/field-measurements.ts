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

/** A batch gives no uncertainty for pH and need not for the titrated alkalinity: these stand in (common practice, no source). */
const U_PH = 0.05;
const U_ALKALINITY = { relative: 0.02, leastMgPerL: 1 };

/** pH, alkalinity and temperature of one sample, with uncertainties, from its rows in either channel's batch. */
export function fieldMeasurements(name: string, rows: readonly Sample[]): FieldMeasurements {
  const pick = <K extends "pH" | "alkalinity" | "temperature">(key: K) =>
    rows.map((row) => row[key]).find((value) => value !== undefined);
  const [pH, alkalinity, temperature] = [pick("pH"), pick("alkalinity"), pick("temperature")];
  return {
    ...(pH === undefined ? {} : { pH: measured(pH, "1", { u: U_PH }, { source: `pH of ${name}` }) }),
    ...(alkalinity === undefined ? {} : { alkalinity: titrated(alkalinity, statedU(rows), name) }),
    ...(temperature === undefined ? {} : { temperature }),
  };
}

/** The uncertainty that stands beside the alkalinity which counts. */
function statedU(rows: readonly Sample[]): number | undefined {
  return rows.find(({ alkalinity }) => alkalinity !== undefined)?.uAlkalinity;
}

/** Alkalinity, mg/L as CaCO₃, with its stated uncertainty, else that of a usual titration. */
function titrated(alkalinity: number, stated: number | undefined, sample: string): MeasuredValue {
  const u = stated ?? Math.max(U_ALKALINITY.relative * alkalinity, U_ALKALINITY.leastMgPerL);
  return measured(alkalinity, "mg/L as CaCO3", { u }, { source: `alkalinity titration of ${sample}` });
}
