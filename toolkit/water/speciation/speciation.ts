import { IonbookError } from "../../errors.js";
import { type AcidSystem, acidSystem, acidSystemNames } from "../../ions/acid-systems.js";
import { acidConstantsAt, formFractions, mixedConstants } from "./acid-constants.js";

export interface SpeciationOptions {
  /** °C; without it the 25 °C constants of the ion table. */
  readonly temperature?: number;
  /** mol/L; default 0, ideal solution. */
  readonly ionicStrength?: number;
  /** Own constants in place of the table's, at zero ionic strength. */
  readonly pKa?: readonly number[];
}

/**
 * The part of each form of an acid or base at a pH; the parts sum to 1. Keys are names ("hydrogencarbonate"); a
 * form is also found under its formula ("HCO3-"), which does not appear when the keys are listed.
 *
 * αᵢ = h^(n−i)·K₁…Kᵢ/Σⱼ h^(n−j)·K₁…Kⱼ, h = 10^−pH, K mixed constants: pK′ = pK + log₁₀(γ_base/γ_acid), γ by Davies.
 *
 * @param system "carbonate", "phosphate", "ammonia", "fluoride", "borate", "silicate", "sulfate", "acetate" …, or any
 *   ion or form of it
 * @param pH −log₁₀ of the activity of H⁺
 * @throws IonbookError "unknown-ion", "no-acid-base", "bad-pH"; "outside-validity" for a temperature at which the
 *   constants of this system are not known
 * @source constants: see `acidSystem(system).source`; temperature: ammonia K. Emerson et al. 1975 (0 to 50 °C),
 *   carbonate L.N. Plummer and E. Busenberg 1982 (0 to 90 °C), others 25 °C only
 */
export function speciate(
  system: string,
  pH: number,
  options: SpeciationOptions = {},
): Readonly<Record<string, number>> {
  const acid = requireAcid(system);
  const fractions = fractionsOf(acid, pH, options);
  const result: Record<string, number> = {};
  acid.forms.forEach(({ name }, i) => {
    result[name] = fractions[i];
  });
  acid.forms.forEach(({ formula }, i) => {
    if (!(formula in result))
      Object.defineProperty(result, formula, { value: fractions[i], enumerable: false });
  });
  return Object.freeze(result);
}

/**
 * Mean charge number of an acid or base over all its forms at a pH, with its sign: z̄ = Σ zᵢ·αᵢ.
 *
 * @throws IonbookError as `speciate`
 * @source as `speciate`
 */
export function meanCharge(system: string, pH: number, options: SpeciationOptions = {}): number {
  const acid = requireAcid(system);
  const fractions = fractionsOf(acid, pH, options);
  return acid.forms.reduce((sum, { charge }, i) => sum + charge * fractions[i], 0);
}

function requireAcid(system: string): AcidSystem {
  const acid = acidSystem(system);
  if (acid) return acid;
  throw new IonbookError(
    "no-acid-base",
    `"${system}" neither takes up nor gives off a proton in water; known are ${acidSystemNames().join(", ")}`,
  );
}

function fractionsOf(acid: AcidSystem, pH: number, options: SpeciationOptions): readonly number[] {
  if (!(pH >= -2 && pH <= 16)) {
    throw new IonbookError(
      "bad-pH",
      `a pH of ${pH} is not possible in water: give a number between −2 and 16`,
    );
  }
  const { temperature, ionicStrength = 0 } = options;
  const pKa = options.pKa ?? acidConstantsAt(acid, temperature);
  if (pKa === undefined) {
    throw new IonbookError(
      "outside-validity",
      `the constants of ${acid.name} are not known at ${temperature} °C; leave the temperature out for 25 °C, or give pKa`,
    );
  }
  if (pKa.length !== acid.pKa.length) {
    throw new IonbookError(
      "bad-constants",
      `${acid.name} has ${acid.pKa.length} acid constants, ${pKa.length} given`,
    );
  }
  const charges = acid.forms.map(({ charge }) => charge);
  return formFractions(mixedConstants(pKa, charges, ionicStrength, temperature), pH);
}
