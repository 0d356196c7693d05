import { requireKnownOptions } from "../../ions/known-options.js";
import type { Concentrations } from "../analysis/water-input.js";
import { balanceDiagnosis } from "./balance-diagnosis.js";
import type { BalanceDiagnosis } from "./diagnosis-types.js";
import { type DiagnosisOptions, KNOWN_OPTIONS, weighWater } from "./weigh-water.js";

/**
 * What would make a water close: hypotheses ranked by charge, conductivity and dissolved solids together, each with the single
 * change that would explain it and the next measurement that would decide. Never a correction.
 *
 * Each hypothesis H has a base rate and a likelihood
 *
 *     L(H) = ∫ N(D′/S; 0, u) · N(ln κ′ − ln κ_m; 0, u) · N(ln of solids) · p(composition′ | kinds of water) · p(a) d ln a
 *
 * D′ difference of the sums, S half of both, κ′ conductivity (with ion pairs) and composition′ after the change, a its amount
 * where that is free. A freedom that could close anything pays for it in the average. A fault is raised where having none has
 * less than nine tenths of all probability and (D/u)² + ((κ − κ_m)/u)² + … is above its 95 % point. χ² of a hypothesis with a
 * free amount is that of the amount that zeroes D.
 *
 * Plain numbers are taken to be uncertain by 2 % (alkalinity at least 0.02 meq/L, pH 0.05, conductivity 1 %, solids 3 %).
 * The model of the conductivity adds 2 % below I 0.01 mol/L, 4 % at 0.1 and 15 % beyond.
 *
 * @param concentrations mg/L by ion; `MeasuredValue`s bring their uncertainty
 * @param options pH, alkalinity, conductivity (µS/cm at 25 °C), dissolved solids (mg/L), charge of unidentified anions (meq/L)
 * @throws IonbookError as `chargeBalance`; "unknown-option", "bad-option", "not-a-number"
 * @source signatures and base rates: common practice of the trade, no source; Bayes' theorem; composition of waters:
 *   M. Meybeck 1979, D.A. Livingstone 1963, J.D. Hem 1985, E.K. and R.A. Berner 1996 (from memory, rounded)
 */
export function diagnoseBalance(
  concentrations: Concentrations,
  options: DiagnosisOptions = {},
): BalanceDiagnosis {
  requireKnownOptions(options, KNOWN_OPTIONS, "diagnoseBalance");
  return balanceDiagnosis(weighWater(concentrations, options));
}
