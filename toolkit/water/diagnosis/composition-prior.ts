import { choleskyFactor } from "../../numeric/dense.js";
import { OWN_SPREAD, WATER_TYPES, WAYS, type WaterType } from "./water-types.js";

/** Logarithm of the probability density of ln(meq/L) of some ions, at a pH. */
export type CompositionPrior = (amounts: ArrayLike<number>) => number;

const LOG_TWO_PI = Math.log(2 * Math.PI);
/** log10 of carbon dioxide's partial pressure in bar, with its spread: soil and open water. */
const CARBON_DIOXIDE = { mean: -2.6, sd: 0.65 };
/** pH of a hydrogencarbonate in mol/L: log10[HCO3] + pK1 + pK of dissolution − log10 pCO2. */
const CARBONATE_CONSTANTS = 6.352 + 1.47;

interface TypeDensity {
  readonly logWeight: number;
  readonly means: Float64Array;
  /** Factor L of the covariance, row-major. */
  readonly factor: Float64Array;
  readonly logNorm: number;
}

interface Prepared {
  /** Places of the ions that the types know. */
  readonly places: Int32Array;
  readonly carbonate: number;
  readonly types: readonly TypeDensity[];
}

const prepared = new Map<string, Prepared>();

/**
 * The composition of a water as it may be before it is analysed: a mixture of log-normal water types, in each of which
 * three ways of dissolving move ions together. Ions that no type knows are left out. Where hydrogencarbonate is among
 * the ions, pH follows from it and a partial pressure of carbon dioxide; else it speaks for a type.
 *
 * @param names ions in the order of the amounts
 */
export function compositionPrior(names: readonly string[], pH: number | undefined): CompositionPrior {
  const { places, carbonate, types } = preparedFor(names);
  const n = places.length;
  const logs = new Float64Array(n);
  const scaled = new Float64Array(n);
  const byPH = types.map((each, t) =>
    pH === undefined || carbonate >= 0 ? each.logWeight : each.logWeight + logNormal(pH, WATER_TYPES[t].pH),
  );
  return (amounts) => {
    for (let i = 0; i < n; i++) logs[i] = Math.log(amounts[places[i]]);
    let [most, sum] = [Number.NEGATIVE_INFINITY, 0];
    for (let t = 0; t < types.length; t++) {
      const log = byPH[t] + logDensity(types[t], logs, scaled);
      if (log > most) {
        sum = sum * Math.exp(most - log) + 1;
        most = log;
      } else sum += Math.exp(log - most);
    }
    const fromCarbonate =
      pH === undefined || carbonate < 0 ? 0 : carbonDioxide(pH, amounts[carbonate] / 1000);
    return most + Math.log(sum) + fromCarbonate;
  };
}

function carbonDioxide(pH: number, hydrogencarbonate: number): number {
  const expected = Math.log10(hydrogencarbonate) + CARBONATE_CONSTANTS - CARBON_DIOXIDE.mean;
  return logNormal(pH, [expected, CARBON_DIOXIDE.sd]);
}

function logNormal(x: number, [mean, sd]: readonly [number, number]): number {
  return -0.5 * (((x - mean) / sd) ** 2 + LOG_TWO_PI) - Math.log(sd);
}

/** Multivariate normal by forward substitution: |L⁻¹(x − μ)|². */
function logDensity({ means, factor, logNorm }: TypeDensity, logs: Float64Array, z: Float64Array): number {
  const n = logs.length;
  let square = 0;
  for (let i = 0; i < n; i++) {
    let left = logs[i] - means[i];
    for (let k = 0; k < i; k++) left -= factor[i * n + k] * z[k];
    z[i] = left / factor[i * n + i];
    square += z[i] * z[i];
  }
  return logNorm - 0.5 * square;
}

function preparedFor(names: readonly string[]): Prepared {
  const key = names.join(" ");
  const known = prepared.get(key);
  if (known) return known;
  const places = names.flatMap((name, i) => (OWN_SPREAD[name] === undefined ? [] : [i]));
  const present = places.map((i) => names[i]);
  const made: Prepared = {
    places: Int32Array.from(places),
    carbonate: names.indexOf("hydrogencarbonate"),
    types: WATER_TYPES.map((type) => typeDensity(type, present)),
  };
  prepared.set(key, made);
  return made;
}

function typeDensity(type: WaterType, names: readonly string[]): TypeDensity {
  const n = names.length;
  const covariance = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) covariance[i * n + j] = covarianceOf(type, names[i], names[j]);
  const factor = choleskyFactor(covariance, n);
  let logNorm = (-n / 2) * LOG_TWO_PI;
  for (let i = 0; i < n; i++) logNorm -= Math.log(factor[i * n + i]);
  return {
    logWeight: Math.log(type.weight),
    means: Float64Array.from(names, (name) => Math.log(type.middle[name])),
    factor,
    logNorm,
  };
}

function covarianceOf({ spread }: WaterType, first: string, second: string): number {
  let sum = spread.size ** 2;
  for (const way of ["salt", "carbonate", "sulfate"] as const) {
    const shares: Readonly<Record<string, number>> = WAYS[way];
    sum += spread[way] ** 2 * (shares[first] ?? 0) * (shares[second] ?? 0);
  }
  return first === second ? sum + (spread.own * OWN_SPREAD[first]) ** 2 : sum;
}
