import { IonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { activityCoefficient } from "./activity.js";
import { FITTED, KIELLAND } from "./ion-sizes.js";

export interface IonActivityOptions {
  /**
   * "davies" (default, to 0.5 mol/L); "debye-hueckel", extended, with J. Kielland's ion sizes (to 0.1 mol/L); "truesdell-jones",
   * the same with sizes and linear terms fitted together (to 0.5 mol/L).
   */
  readonly model?: "davies" | "debye-hueckel" | "truesdell-jones";
  /** °C; default 25. */
  readonly temperature?: number;
}

const KNOWN_OPTIONS: Readonly<Record<keyof IonActivityOptions, true>> = { model: true, temperature: true };

/**
 * Activity coefficient γ of a named ion, with the size that belongs to the model.
 *
 * Formulas: `activityCoefficient`. Sizes of one list must not be used with the other form: for calcium at 0.1 mol/L that
 * would give 0.377 in place of 0.391 ("truesdell-jones") or 0.401 ("debye-hueckel").
 *
 * @param nameOrFormula one charged form, such as "calcium" or "HPO4 2-"
 * @param ionicStrength I, mol/L
 * @throws IonbookError "unknown-ion"; "no-ion-size" for an ion that is not in the list of the model; "bad-option";
 *   others as `activityCoefficient`
 * @source J. Kielland, J. Am. Chem. Soc. 59 (1937) 1675; A.H. Truesdell and B.F. Jones, J. Res. USGS 2 (1974) 233
 */
export function ionActivityCoefficient(
  nameOrFormula: string,
  ionicStrength: number,
  options: IonActivityOptions = {},
): number {
  requireKnownOptions(options, KNOWN_OPTIONS, "ionActivityCoefficient");
  const { model = "davies", temperature = 25 } = options;
  const of = ion(nameOrFormula);
  if (model === "davies") return activityCoefficient(of.charge, ionicStrength, { temperature });
  if (model !== "debye-hueckel" && model !== "truesdell-jones") {
    throw new IonbookError(
      "bad-option",
      `the model is ${JSON.stringify(model)}; known are "davies", "debye-hueckel" and "truesdell-jones"`,
    );
  }
  const sizes = model === "debye-hueckel" ? KIELLAND : FITTED;
  const found = sizes.get(of.name);
  if (found === undefined) {
    throw new IonbookError(
      "no-ion-size",
      `no size of ${of.name} is known for "${model}", only of ${[...sizes.keys()].join(", ")}. Take "davies", or give activityCoefficient a size`,
    );
  }
  return activityCoefficient(of.charge, ionicStrength, {
    model: "debye-hueckel",
    ionSize: found.size,
    ...(model === "truesdell-jones" ? { linearTerm: found.linear } : {}),
    temperature,
  });
}
