import { IonbookError } from "../../errors.js";

/** Constants of the Debye–Hückel theory for water. */
export interface DebyeHueckelConstants {
  /** (L/mol)^½ */
  readonly A: number;
  /** (L/mol)^½ per ångström */
  readonly B: number;
}

const A_25 = 0.509;
const B_25 = 0.328;
/** Upper ends of validity, mol/L. */
const DAVIES_LIMIT = 0.5;
const DEBYE_HUECKEL_LIMIT = 0.1;

/**
 * Debye–Hückel constants of water between 0 and 60 °C; A 0.509, B 0.328 Å⁻¹ at 25 °C.
 * A ∝ √ρ/(ε·T)^1.5, B ∝ √ρ/√(ε·T), ρ density and ε relative permittivity of water, T in K; scaled to the 25 °C values.
 *
 * @throws IonbookError "outside-validity" below 0 and above 60 °C
 * @source ε: C.G. Malmberg and A.A. Maryott, J. Res. NBS 56 (1956) 1; ρ: G.S. Kell, J. Chem. Eng. Data 20 (1975) 97
 */
export function debyeHueckelConstants(temperature = 25): DebyeHueckelConstants {
  if (!(temperature >= 0 && temperature <= 60)) {
    throw new IonbookError(
      "outside-validity",
      `${temperature} °C is outside 0 to 60 °C, where the Debye–Hückel constants of water are known here`,
    );
  }
  if (temperature === 25) return { A: A_25, B: B_25 };
  const ratio = shieldingTerms(temperature);
  const base = shieldingTerms(25);
  return { A: (A_25 * ratio.a) / base.a, B: (B_25 * ratio.b) / base.b };
}

function shieldingTerms(t: number): { readonly a: number; readonly b: number } {
  const permittivity = 87.74 - 0.40008 * t + 9.398e-4 * t ** 2 - 1.41e-6 * t ** 3;
  const density =
    (999.83952 +
      16.945176 * t -
      7.9870401e-3 * t ** 2 -
      46.170461e-6 * t ** 3 +
      105.56302e-9 * t ** 4 -
      280.54253e-12 * t ** 5) /
    (1000 * (1 + 16.87985e-3 * t));
  const shielding = permittivity * (t + 273.15);
  return { a: Math.sqrt(density) / shielding ** 1.5, b: Math.sqrt(density / shielding) };
}

/**
 * Activity coefficient γ of an ion.
 *
 * Davies: log₁₀ γ = −A·z²·(√I/(1 + √I) − 0.3·I). Debye–Hückel, extended: log₁₀ γ = −A·z²·√I/(1 + B·a·√I);
 * without an ion size a the product B·a is 1 (Güntelberg), with a = 0 it is the limiting law.
 *
 * @param charge charge number z, with or without sign
 * @param ionicStrength I, mol/L
 * @param options model, default "davies"; ion size a in Å; temperature in °C, default 25
 * @throws IonbookError "outside-validity" for I above 0.5 mol/L (Davies) or 0.1 mol/L (Debye–Hückel), or a
 *   temperature outside 0 to 60 °C; "bad-ionic-strength" for a negative one or no number
 * @source C.W. Davies, Ion Association (1962); P. Debye and E. Hückel 1923, sizes: J. Kielland, J. Am. Chem. Soc. 59 (1937) 1675
 */
export function activityCoefficient(
  charge: number,
  ionicStrength: number,
  options: {
    readonly model?: "davies" | "debye-hueckel";
    readonly ionSize?: number;
    readonly temperature?: number;
  } = {},
): number {
  const { model = "davies", ionSize, temperature = 25 } = options;
  if (!(ionicStrength >= 0)) {
    throw new IonbookError(
      "bad-ionic-strength",
      `the ionic strength is ${ionicStrength}; give mol/L, 0 or more`,
    );
  }
  const limit = model === "davies" ? DAVIES_LIMIT : DEBYE_HUECKEL_LIMIT;
  if (ionicStrength > limit) {
    throw new IonbookError(
      "outside-validity",
      `the ionic strength ${ionicStrength} mol/L is above ${limit}, up to which the ${model} model holds`,
    );
  }
  const { A, B } = debyeHueckelConstants(temperature);
  const root = Math.sqrt(ionicStrength);
  if (model === "davies") return 10 ** (-A * charge ** 2 * (root / (1 + root) - 0.3 * ionicStrength));
  return 10 ** ((-A * charge ** 2 * root) / (1 + (ionSize === undefined ? 1 : B * ionSize) * root));
}

/** Davies coefficient held at its value for 0.5 mol/L beyond: for small corrections in any water. */
export function cappedActivityCoefficient(charge: number, ionicStrength: number, temperature = 25): number {
  return activityCoefficient(charge, Math.min(ionicStrength, DAVIES_LIMIT), {
    temperature: Math.min(60, Math.max(0, temperature)),
  });
}
