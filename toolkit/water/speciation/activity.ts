import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";

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
export const DAVIES_LIMIT = 0.5;
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

export interface ActivityOptions {
  /** Default "davies". */
  readonly model?: "davies" | "debye-hueckel";
  /** a, Å; Debye–Hückel only. */
  readonly ionSize?: number;
  /** b of an added term b·I, L/mol; Debye–Hückel only. It belongs to a size fitted together with it. */
  readonly linearTerm?: number;
  /** °C; default 25. */
  readonly temperature?: number;
}

const KNOWN_OPTIONS: Readonly<Record<keyof ActivityOptions, true>> = {
  model: true,
  ionSize: true,
  linearTerm: true,
  temperature: true,
};

/**
 * Activity coefficient γ of an ion.
 *
 * Davies: log₁₀ γ = −A·z²·(√I/(1 + √I) − 0.3·I). Debye–Hückel, extended: log₁₀ γ = −A·z²·√I/(1 + B·a·√I) + b·I;
 * without an ion size a the product B·a is 1 (Güntelberg), with a = 0 it is the limiting law; b is 0 unless given.
 * Sizes by ion: `ionActivityCoefficient`.
 *
 * @param charge charge number z, with or without sign
 * @param ionicStrength I, mol/L
 * @param options model, default "davies"; ion size a in Å; linear term b in L/mol; temperature in °C, default 25
 * @throws IonbookError "outside-validity" for I above 0.5 mol/L (Davies, or with a linear term) or 0.1 mol/L (Debye–Hückel
 *   without one), or a temperature outside 0 to 60 °C; "bad-ionic-strength" for a negative one or no number; "bad-option"
 *   for another model, a negative size, or a size beside Davies' formula; "unknown-option"
 * @source C.W. Davies, Ion Association (1962); P. Debye and E. Hückel 1923, sizes: J. Kielland, J. Am. Chem. Soc. 59 (1937) 1675;
 *   linear term: A.H. Truesdell and B.F. Jones, J. Res. USGS 2 (1974) 233
 */
export function activityCoefficient(
  charge: number,
  ionicStrength: number,
  options: ActivityOptions = {},
): number {
  requireKnownOptions(options, KNOWN_OPTIONS, "activityCoefficient");
  const { model = "davies", ionSize, linearTerm, temperature = 25 } = options;
  requireModel(options);
  if (typeof ionicStrength !== "number" || !(ionicStrength >= 0)) {
    throw new IonbookError(
      "bad-ionic-strength",
      `the ionic strength is ${ionicStrength}; give mol/L, 0 or more`,
    );
  }
  const limit = model === "davies" || linearTerm !== undefined ? DAVIES_LIMIT : DEBYE_HUECKEL_LIMIT;
  if (ionicStrength > limit) {
    throw new IonbookError(
      "outside-validity",
      `the ionic strength ${ionicStrength} mol/L is above ${limit}, up to which the ${model} model holds`,
    );
  }
  const { A, B } = debyeHueckelConstants(temperature);
  if (model === "davies") return davies(A, charge, ionicStrength);
  const root = Math.sqrt(ionicStrength);
  const shielding = 1 + (ionSize === undefined ? 1 : B * ionSize) * root;
  return 10 ** ((-A * charge ** 2 * root) / shielding + (linearTerm ?? 0) * ionicStrength);
}

function requireModel({ model = "davies", ionSize, linearTerm }: ActivityOptions): void {
  const refuse = (what: string): never => {
    throw new IonbookError(
      "bad-option",
      `${what}: the models are "davies", which takes neither size nor linear term, and "debye-hueckel" with an ionSize in Å, 0 or more`,
    );
  };
  if (model !== "davies" && model !== "debye-hueckel") refuse(`the model is ${JSON.stringify(model)}`);
  if (model === "davies" && (ionSize !== undefined || linearTerm !== undefined))
    refuse("an ion size or linear term is given beside Davies' formula");
  if (ionSize !== undefined && !(ionSize >= 0)) refuse(`the ion size is ${ionSize}`);
  if (linearTerm !== undefined && !Number.isFinite(linearTerm)) refuse(`the linear term is ${linearTerm}`);
  if (linearTerm !== undefined && ionSize === undefined)
    refuse("a linear term is given without its ion size");
}

/** Davies coefficient held at its value for 0.5 mol/L beyond: for small corrections in any water. */
export function cappedActivityCoefficient(charge: number, ionicStrength: number, temperature = 25): number {
  const { A } = debyeHueckelConstants(Math.min(60, Math.max(0, temperature)));
  return davies(A, charge, Math.min(ionicStrength, DAVIES_LIMIT));
}

function davies(A: number, charge: number, ionicStrength: number): number {
  const root = Math.sqrt(ionicStrength);
  return 10 ** (-A * charge ** 2 * (root / (1 + root) - 0.3 * ionicStrength));
}
