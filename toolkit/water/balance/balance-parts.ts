import { combineLinear, type MeasuredValue, minus, plus } from "../../uncertainty/measured.js";
import type { WaterInput } from "../analysis/water-input.js";
import { numbersOf, type WaterState, waterState } from "../analysis/water-state.js";

/** One ion's charge. */
export interface BalancePart {
  readonly ion: string;
  readonly side: "cation" | "anion";
  /** meq/L, magnitude */
  readonly milliequivalents: MeasuredValue;
}

/** The charge of every ion, largest first; what depends on the pH carries its uncertainty. */
export function partsOf(input: WaterInput, state: WaterState): readonly BalancePart[] {
  const parts: BalancePart[] = [];
  const slopes = input.pH.u > 0 ? slopesByPH(input) : undefined;
  const pHError = minus(input.pH, input.pH.value);
  const add = (ion: string, sign: number, terms: Terms, slope: number | undefined): void => {
    const varied = slope === undefined ? terms : [...terms, { value: pHError, factor: slope }];
    parts.push({
      ion,
      side: sign > 0 ? "cation" : "anion",
      milliequivalents: combineLinear(varied, "meq/L"),
    });
  };
  input.solutes.forEach(({ ion, concentration }, i) => {
    // Hydroxide complexes of a metal may carry more negative than positive charge.
    const sign = Math.sign(state.meanCharges[i]) || Math.sign(ion.charge);
    const factor = (sign * state.meanCharges[i]) / ion.molarMass;
    add(ion.name, sign, [{ value: concentration, factor }], slopes && sign * slopes.solutes[i]);
  });
  const fixed = (name: string, sign: number, amount: number, slope: number | undefined): void => {
    if (amount <= 0) return;
    add(name, sign, [], slope);
    const part = parts[parts.length - 1];
    parts[parts.length - 1] = { ...part, milliequivalents: plus(part.milliequivalents, amount) };
  };
  fixed("hydrogen", 1, state.hydrogen, slopes?.hydrogen);
  fixed("hydroxide", -1, state.hydroxide, slopes?.hydroxide);
  if (input.carbonDioxide !== undefined) fixed("hydrogencarbonate", -1, state.carbonate, slopes?.carbonate);
  else if (state.carbonate > 0) parts.push(carbonatePart(input, state, pHError, slopes?.carbonate));
  return parts.sort((a, b) => b.milliequivalents.value - a.milliequivalents.value);
}

type Terms = readonly { readonly value: MeasuredValue; readonly factor: number }[];

/** Alkalinity less what the other bases take of it: shares the sources of both. */
function carbonatePart(
  input: WaterInput,
  state: WaterState,
  pHError: MeasuredValue,
  slope: number | undefined,
): BalancePart {
  const { carbonatePerAlkalinity: perAlkalinity } = state;
  const terms = [
    ...(input.alkalinity ? [{ value: input.alkalinity, factor: perAlkalinity }] : []),
    ...input.solutes.map(({ ion, concentration }, i) => ({
      value: concentration,
      factor: (-perAlkalinity * state.titratedCharges[i]) / ion.molarMass,
    })),
    ...(slope === undefined ? [] : [{ value: pHError, factor: slope }]),
  ];
  const linear = combineLinear(terms, "meq/L");
  const milliequivalents = plus(linear, state.carbonate - linear.value);
  return { ion: "hydrogencarbonate", side: "anion", milliequivalents };
}

/** Change of each part by one pH unit, meq/L, from a small difference. */
function slopesByPH(input: WaterInput) {
  const step = 1e-4;
  const numbers = numbersOf(input);
  const high = waterState(input, { ...numbers, pH: numbers.pH + step });
  const low = waterState(input, { ...numbers, pH: numbers.pH - step });
  const slope = (a: number, b: number): number => (a - b) / (2 * step);
  return {
    solutes: input.solutes.map(
      ({ ion }, i) => (slope(high.meanCharges[i], low.meanCharges[i]) * numbers.amounts[i]) / ion.molarMass,
    ),
    hydrogen: slope(high.hydrogen, low.hydrogen),
    hydroxide: slope(high.hydroxide, low.hydroxide),
    carbonate: slope(high.carbonate, low.carbonate),
  };
}
