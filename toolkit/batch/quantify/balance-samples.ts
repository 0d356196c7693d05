import { type MeasuredValue, measured } from "../../uncertainty/measured.js";
import { chargeBalance } from "../../water/balance/charge-balance.js";
import type { UnknownCharge } from "../../water/balance/unknown-charge.js";
import type { Batch, Sample, SampleBalance, SampleResult } from "../types.js";

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

/** The batch gives no uncertainty for pH and titrated alkalinity: these stand in (common practice, no source). */
const U_PH = 0.05;
const U_ALKALINITY = { relative: 0.02, leastMgPerL: 1 };
/** Further down the list of suspects there is only guessing. */
const SUSPECTS_TOLD = 3;

/** Alkalinity, mg/L as CaCO₃, with the uncertainty of a titration. */
function titrated(alkalinity: number, sample: string): MeasuredValue {
  const u = Math.max(U_ALKALINITY.relative * alkalinity, U_ALKALINITY.leastMgPerL);
  return measured(alkalinity, "mg/L as CaCO3", { u }, { source: `alkalinity titration of ${sample}` });
}

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
  const pick = <K extends "pH" | "alkalinity" | "temperature">(key: K) =>
    rows.map((r) => r[key]).find((v) => v !== undefined);
  const [pH, alkalinity, temperature] = [pick("pH"), pick("alkalinity"), pick("temperature")];
  const concentrations: Record<string, MeasuredValue> = {};
  for (const r of found) if (r.value) concentrations[r.ion] = r.value;
  const balance = chargeBalance(concentrations, {
    ...(pH === undefined ? {} : { pH: measured(pH, "1", { u: U_PH }, { source: `pH of ${name}` }) }),
    ...(alkalinity === undefined ? {} : { alkalinity: titrated(alkalinity, name) }),
    ...(unknown === undefined ? {} : { unknownAnions: unknown }),
    ...(temperature === undefined ? {} : { temperature }),
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
