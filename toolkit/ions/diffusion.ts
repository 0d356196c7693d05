import type { Ion } from "./ion-table.js";

/**
 * Diffusion coefficient at infinite dilution, cm²/s; undefined without a limiting conductivity.
 * D = R·T·λ/(z²·F²), R gas constant, T 298.15 K, λ molar conductivity, z charge number, F Faraday constant.
 *
 * @source W. Nernst and A. Einstein; constants CODATA 2018 (exact)
 */
export function limitingDiffusionCoefficient(of: Ion): number | undefined {
  if (of.limitingMolarConductivity === undefined) return undefined;
  const gas = 8.31446261815324;
  const faraday = 96485.33212;
  return (gas * 298.15 * of.limitingMolarConductivity) / (of.charge * faraday) ** 2;
}
