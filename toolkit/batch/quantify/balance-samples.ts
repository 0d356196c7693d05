import type { MeasuredValue } from "../../uncertainty/measured.js";
import { chargeBalance } from "../../water/balance/charge-balance.js";
import type { UnknownCharge } from "../../water/balance/unknown-charge.js";
import type { Batch, Sample, SampleBalance, SampleResult } from "../types.js";
import { fieldMeasurements } from "./field-measurements.js";

/** Balances every sample that both channels measured in mg/L. */
export function balanceSamples(
  batches: readonly Batch[],
  results: readonly SampleResult[],
  unknown: ReadonlyMap<string, UnknownCharge>,
): SampleBalance[] {
  const both =
    batches.some((b) => b.method.channel === "anion") && batches.some((b) => b.method.channel === "cation");
  if (!both) return [];
  const names = [...new Set(results.map((r) => r.sample))];
  return names.flatMap((name): SampleBalance[] => {
    const found = results.filter((r) => r.sample === name && r.value !== undefined);
    const channels = new Set(found.map((r) => r.channel));
    if (channels.size < 2 || found.some((r) => r.unit !== "mg/L")) return [];
    const rows = batches.flatMap((b) => b.samples.filter((s) => s.sample === name));
    return [balanceOne(name, found, rows, unknown.get(name))];
  });
}

/** Further down the list of suspects there is only guessing. */
const SUSPECTS_TOLD = 3;

/**
 * The balance of one sample. It passes when the difference, unidentified anions counted, is within two of its own
 * standard uncertainties, or when every published criterion that applies is met.
 */
function balanceOne(
  name: string,
  found: readonly SampleResult[],
  rows: readonly Sample[],
  unknown: UnknownCharge | undefined,
): SampleBalance {
  const concentrations: Record<string, MeasuredValue> = {};
  for (const r of found) if (r.value) concentrations[r.ion] = r.value;
  const conductivity = rows.map((row) => row.conductivity).find((value) => value !== undefined && value > 0);
  const balance = chargeBalance(concentrations, {
    ...fieldMeasurements(name, rows),
    ...(unknown === undefined ? {} : { unknownAnions: unknown }),
    ...(conductivity === undefined ? {} : { conductivity }),
  });
  const published = balance.criteria.filter(({ convention }) => convention !== "e");
  const below = new Set(found.filter((r) => r.status === "not detected").map((r) => r.ion));
  // The least that is there decides: what a weak acid may hide closes no balance by itself.
  const { withUnknowns } = balance;
  const counted = withUnknowns?.percentAtMost ?? balance.percentDifference;
  const consistent = Math.abs(counted.value) <= 2 * counted.u;
  const passed = consistent || (published.length > 0 && published.every((c) => c.passed));
  return {
    kind: "sample-balance",
    sample: name,
    cations: balance.cations,
    anions: balance.anions,
    percentDifference: balance.percentDifference,
    unknownAnions: withUnknowns?.unknown.from,
    unknownAnionsUpper: withUnknowns?.unknown.to,
    passed,
    suspects: passed ? [] : balance.suspects.slice(0, SUSPECTS_TOLD).map((s) => `${s.cause}: ${s.why}`),
    parts: balance.parts.map((p) => ({
      ion: p.ion,
      side: p.side,
      milliequivalents: p.milliequivalents,
      bound: below.has(p.ion),
    })),
    criteria: balance.criteria,
    conventions: balance.conventions,
    withUnknowns,
    coverage: balance.coverage,
    flags: balance.flags,
  };
}
