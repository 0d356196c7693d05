import { IonbookError } from "../../errors.js";
import { type AcidSystem, acidSystem, acidSystemNames } from "../../ions/acid-systems.js";
import { ion } from "../../ions/ion-table.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { acidConstantsAt, constantsRange, formFractions, mixedConstants } from "./acid-constants.js";
import { activityCoefficient } from "./activity.js";
import { metalHydrolysis } from "./metal-hydrolysis.js";

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
 *   ion or form of it; "aluminium" and "iron(III)" by hydrolysis
 * @param pH −log₁₀ of the activity of H⁺
 * @throws IonbookError "unknown-ion", "no-acid-base", "bad-pH", "bad-constants", "unknown-option", "bad-option"; "outside-validity" for a
 *   temperature at which the constants of this system are not known, or an ionic strength above 0.5 mol/L
 * @source constants: see `acidSystem(system).source`; temperature, each within its own range: ammonia K. Emerson et al. 1975,
 *   carbonate L.N. Plummer and E. Busenberg 1982, phosphate, borate and simple organic acids H.S. Harned and others (collected by
 *   R.A. Robinson and R.H. Stokes), fluoride and silicate the USGS database phreeqc.dat, sulfate, citrate, succinate, tartrate,
 *   phthalate, maleate, sulfite and amines R.N. Goldberg et al. 2002; others 25 °C only
 */
export function speciate(
  system: string,
  pH: number,
  options: SpeciationOptions = {},
): Readonly<Record<string, number>> {
  const acid = requireAcid(system);
  const fractions = fractionsOf(acid, pH, options, "speciate");
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

/** The mixed constants are Davies': what that model does not cover is refused, not held at its end. */
function requireActivity(ionicStrength: number): void {
  if (ionicStrength !== 0) activityCoefficient(1, ionicStrength);
}

function knownRange(acid: AcidSystem): string {
  const { from, to } = constantsRange(acid);
  return from > 20 && to < 30 ? ", only at 25" : `, only from ${from} to ${to}`;
}

/**
 * Mean charge number of an acid or base over all its forms at a pH, with its sign: z̄ = Σ zᵢ·αᵢ.
 *
 * @throws IonbookError as `speciate`
 * @source as `speciate`
 */
export function meanCharge(system: string, pH: number, options: SpeciationOptions = {}): number {
  const acid = requireAcid(system);
  const fractions = fractionsOf(acid, pH, options, "meanCharge");
  return acid.forms.reduce((sum, { charge }, i) => sum + charge * fractions[i], 0);
}

const KNOWN_OPTIONS: Readonly<Record<keyof SpeciationOptions, true>> = {
  temperature: true,
  ionicStrength: true,
  pKa: true,
};

function requireAcid(system: string): AcidSystem {
  const acid = acidSystem(system) ?? metalHydrolysis(ion(system).name);
  if (acid) return acid;
  throw new IonbookError(
    "no-acid-base",
    `"${system}" neither takes up nor gives off a proton in water; known are ${acidSystemNames().join(", ")}`,
  );
}

function fractionsOf(
  acid: AcidSystem,
  pH: number,
  options: SpeciationOptions,
  call: string,
): readonly number[] {
  requireKnownOptions(options, KNOWN_OPTIONS, call);
  if (!(pH >= -2 && pH <= 16)) {
    throw new IonbookError(
      "bad-pH",
      `a pH of ${pH} is not possible in water: give a number between −2 and 16`,
    );
  }
  const { temperature, ionicStrength = 0 } = options;
  requireActivity(ionicStrength);
  const pKa = options.pKa ?? acidConstantsAt(acid, temperature);
  if (pKa === undefined) {
    throw new IonbookError(
      "outside-validity",
      `the constants of ${acid.name} are not known at ${temperature} °C${knownRange(acid)}; leave the temperature out for 25 °C, or give pKa`,
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
