import type { Random } from "../../../toolkit/numeric/random.js";
import type { TrueWater } from "./true-waters.js";

/** Per equivalent at 25 °C, S·cm²/eq, and charge number: CRC Handbook of Chemistry and Physics (from memory). */
const IONS: Readonly<Record<string, readonly [lambda: number, charge: number]>> = {
  hydrogen: [349.65, 1],
  calcium: [59.47, 2],
  magnesium: [53.0, 2],
  sodium: [50.08, 1],
  potassium: [73.48, 1],
  ammonium: [73.5, 1],
  chloride: [76.31, -1],
  nitrate: [71.42, -1],
  sulfate: [80.0, -2],
  fluoride: [55.4, -1],
  hydrogencarbonate: [44.5, -1],
};
/** log10 of association constants with their uncertainty: R.M. Smith and A.E. Martell, Critical Stability Constants (from memory). */
const PAIRS: readonly (readonly [string, string, number, number])[] = [
  ["calcium", "sulfate", 2.31, 0.07],
  ["magnesium", "sulfate", 2.25, 0.08],
  ["sodium", "sulfate", 0.75, 0.15],
  ["calcium", "hydrogencarbonate", 1.05, 0.12],
  ["magnesium", "hydrogencarbonate", 1.05, 0.12],
];
/** Standard uncertainty of a limiting conductivity, relative: what compilations differ by. */
const U_LAMBDA = 0.006;
const TURNS = 40;

/**
 * Conductivity of a true water, µS/cm at 25 °C: Robinson and Stokes's equation with an ion size of 4.5 Å, activity by
 * Güntelberg's formula, pairs, and every constant off by its uncertainty.
 *
 * @source R.A. Robinson and R.H. Stokes, Electrolyte Solutions (1959), ch. 7 (from memory)
 */
export function trueConductivity(random: Random, water: TrueWater): number {
  const names = Object.keys(water.milliequivalents).filter((name) => IONS[name] !== undefined);
  const free = new Map(
    names.map((name) => [name, water.milliequivalents[name] / 1000 / Math.abs(IONS[name][1])]),
  );
  const totals = new Map(free);
  const constants = PAIRS.map(([cation, anion, log, u]) => ({
    cation,
    anion,
    value: 10 ** (log + u * random.normal()),
  }));
  const strengthOf = () =>
    0.5 * names.reduce((sum, name) => sum + (free.get(name) ?? 0) * IONS[name][1] ** 2, 0) +
    0.0005 * water.organic;
  for (let turn = 0; turn < TURNS; turn++) {
    const root = Math.sqrt(strengthOf());
    const gamma = (z: number) => 10 ** ((-0.509 * z * z * root) / (1 + root));
    const taken = new Map(names.map((name) => [name, 1]));
    for (const { cation, anion, value } of constants) {
      const [c, a] = [free.get(cation), free.get(anion)];
      if (c === undefined || a === undefined) continue;
      const [zc, za] = [IONS[cation][1], IONS[anion][1]];
      const k = (value * gamma(zc) * gamma(za)) / gamma(zc + za);
      taken.set(cation, (taken.get(cation) ?? 1) + k * a);
      taken.set(anion, (taken.get(anion) ?? 1) + k * c);
    }
    for (const name of names)
      free.set(name, 0.5 * (free.get(name) ?? 0) + (0.5 * (totals.get(name) ?? 0)) / (taken.get(name) ?? 1));
  }
  const root = Math.sqrt(strengthOf());
  const slow = root / (1 + 0.3286 * 4.5 * root);
  const equivalents = (name: string) => (free.get(name) ?? 0) * Math.abs(IONS[name][1]) * 1000;
  const meanCharge = (sign: number) => {
    const side = names.filter((name) => sign * IONS[name][1] > 0);
    const sum = side.reduce((all, name) => all + equivalents(name), 0);
    return side.reduce((all, name) => all + equivalents(name) * Math.abs(IONS[name][1]), 0) / sum;
  };
  const counter = { cation: meanCharge(-1), anion: meanCharge(1) };
  let kappa = 0;
  for (const name of names) {
    const [lambda, charge] = IONS[name];
    const z = Math.abs(charge);
    const own = lambda * (1 + U_LAMBDA * random.normal());
    const opposite = charge > 0 ? counter.cation : counter.anion;
    kappa += (own - (0.229 * z * opposite * own + 30.2 * z) * slow) * equivalents(name);
  }
  return kappa + water.organic * water.organicLambda * (1 - 0.9 * slow);
}
