import { chargeBalance } from "../../water/charge-balance.js";
import { ion as ionOf } from "../../ions/ion-table.js";
import { propagate, type MeasuredValue } from "../../uncertainty/measured.js";
import type { Batch, Sample, SampleBalance, SampleResult } from "../types.js";

/** Charge of a sample's unidentified anions, meq/L in the sample. */
export type UnknownCharge = ReadonlyMap<string, MeasuredValue>;

/** Balances every sample that both channels measured in mg/L. */
export function balanceSamples(
  batches: readonly Batch[],
  results: readonly SampleResult[],
  unknown: UnknownCharge,
): SampleBalance[] {
  const both = batches.some((b) => b.method.channel === "anion") && batches.some((b) => b.method.channel === "cation");
  if (!both) return [];
  const names = [...new Set(results.map((r) => r.sample))];
  return names.flatMap((name): SampleBalance[] => {
    const measured = results.filter((r) => r.sample === name && r.value !== undefined);
    const channels = new Set(measured.map((r) => r.channel));
    if (channels.size < 2 || measured.some((r) => r.unit !== "mg/L")) return [];
    const rows = batches.flatMap((b) => b.samples.filter((s) => s.sample === name));
    return [balanceOne(name, measured, rows, unknown.get(name))];
  });
}

function balanceOne(
  name: string,
  measured: readonly SampleResult[],
  rows: readonly Sample[],
  unknownAnions: MeasuredValue | undefined,
): SampleBalance {
  const pick = <K extends "pH" | "alkalinity" | "temperature">(key: K) => rows.map((r) => r[key]).find((v) => v !== undefined);
  const [pH, alkalinity, temperature] = [pick("pH"), pick("alkalinity"), pick("temperature")];
  const concentrations: Record<string, MeasuredValue> = {};
  for (const r of measured) if (r.value) concentrations[r.ion] = r.value;
  const balance = chargeBalance(concentrations, {
    ...(pH === undefined ? {} : { pH }),
    ...(alkalinity === undefined ? {} : { alkalinity }),
    ...(temperature === undefined ? {} : { temperature }),
  });
  const below = new Set(measured.filter((r) => r.status === "not detected").map((r) => r.ion));
  const withUnknown = unknownAnions
    ? propagate((x) => (100 * (x.c - x.a - x.n)) / (x.c + x.a + x.n), { c: balance.cations, a: balance.anions, n: unknownAnions }, "%")
    : balance.percentDifference;
  const consistent = Math.abs(withUnknown.value) <= 2 * withUnknown.u;
  return {
    kind: "sample-balance",
    sample: name,
    cations: balance.cations,
    anions: balance.anions,
    percentDifference: balance.percentDifference,
    unknownAnions,
    passed: balance.criteria.length > 0 ? balance.criteria.every((c) => c.passed) || consistent : consistent,
    suspects: balance.suspects.map((s) => `${s.cause}: ${s.why}`),
    parts: balance.parts.map((p) => ({
      ion: p.ion,
      side: ionOf(p.ion).charge > 0 ? "cation" : "anion",
      milliequivalents: p.milliequivalents,
      bound: below.has(p.ion),
    })),
    criteria: balance.criteria.map((c) => ({ source: c.source, limit: String(c.limit), passed: c.passed })),
  };
}
