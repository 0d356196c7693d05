import { type AcidSystem, acidSystem } from "../../ions/acid-systems.js";
import { type Ion, ion } from "../../ions/ion-table.js";
import {
  acidConstantsAt,
  formFractions,
  mixedConstants,
  PK_WATER,
  waterIonProductAt,
} from "../speciation/acid-constants.js";
import { cappedActivityCoefficient } from "../speciation/activity.js";
import { carbonateShare } from "./carbonate-share.js";
import type { Solute, WaterInput } from "./water-input.js";

/** One charged form in solution. */
export interface DissolvedForm {
  readonly name: string;
  readonly charge: number;
  /** mmol/L */
  readonly amount: number;
  /** The ion of the table, where it has an entry. */
  readonly ion: Ion | undefined;
}

/** Plain numbers in place of those of the input: how results are asked for their sensitivities. */
export interface WaterNumbers {
  /** mg/L, in the order of the solutes. */
  readonly amounts: readonly number[];
  readonly pH: number;
  /** meq/L; ignored where the input has no alkalinity. */
  readonly alkalinity: number;
}

/** A water at a pH, all forms spread out. */
export interface WaterState {
  /** mol/L */
  readonly ionicStrength: number;
  readonly forms: readonly DissolvedForm[];
  /** Mean charge number of each solute, with its sign. */
  readonly meanCharges: readonly number[];
  /** Charge each solute takes up, per molecule, when alkalinity is titrated: its share in the alkalinity. */
  readonly titratedCharges: readonly number[];
  /** H⁺ and OH⁻ counted from the pH, mmol/L. */
  readonly hydrogen: number;
  readonly hydroxide: number;
  /** Hydrogencarbonate and carbonate from alkalinity or by equilibrium with air, meq/L. */
  readonly carbonate: number;
  /** Its change by one meq/L of alkalinity: 1, or a little more where the titration ended short of its last parts. */
  readonly carbonatePerAlkalinity: number;
  /** True where the other bases take up more than the whole alkalinity, or the alkalinity is not positive. */
  readonly alkalinityUsedUp: boolean;
}

/** Zero level of protons in an alkalinity titration: acids weaker than this are titrated. Source: A.G. Dickson, Deep-Sea Res. 28A (1981) 609. */
const ZERO_LEVEL = 4.5;
/** Above this pH hydroxide is counted. */
const HYDROXIDE_PH = 9;
const CARBONATE = acidSystem("carbonate") as AcidSystem;
/** Charges move the ionic strength and the ionic strength the charges; the third round changes nothing. */
const ROUNDS = 3;

/** The numbers of an input, as they stand. */
export function numbersOf(input: WaterInput): WaterNumbers {
  return {
    amounts: input.solutes.map(({ concentration }) => concentration.value),
    pH: input.pH.value,
    alkalinity: input.alkalinity?.value ?? 0,
  };
}

/**
 * All charged forms of a water at its pH, with the ionic strength I = ½·Σ cᵢ·zᵢ² found by repetition.
 *
 * H⁺ is 10^−pH/γ and, above pH 9, OH⁻ 10^(pH − pKw)/γ, both only where a pH is given and the ion is not among the
 * solutes. Hydrogencarbonate and carbonate from alkalinity: Alk + H⁺ − OH⁻ − the protons that the other bases take up.
 * Constants and γ follow the temperature where they are known for it.
 *
 * @source W. Stumm and J.J. Morgan, Aquatic Chemistry; zero level of protons: A.G. Dickson 1981
 */
export function waterState(input: WaterInput, numbers: WaterNumbers = numbersOf(input)): WaterState {
  let state = stateAt(input, numbers, 0);
  for (let round = 0; round < ROUNDS; round++) state = stateAt(input, numbers, state.ionicStrength);
  return state;
}

function stateAt(input: WaterInput, numbers: WaterNumbers, ionicStrength: number): WaterState {
  const { temperature, alkalinityEndpoint: endpoint } = input;
  const spread = input.solutes.map((solute, i) => {
    const amount = numbers.amounts[i] / solute.ion.molarMass;
    return spreadSolute(solute, amount, { pH: numbers.pH, ionicStrength, temperature, endpoint });
  });
  const { hydrogen, hydroxide } = protons(input, numbers.pH, ionicStrength);
  const titrated = spread.reduce((sum, { titratedCharge, amount }) => sum + titratedCharge * amount, 0);
  const share = carbonateShare(input, {
    numbers,
    excess: hydrogen - hydroxide,
    titrated,
    ionicStrength,
    fractionsAt: (pH) => acidFractions(CARBONATE, pH, ionicStrength, temperature),
  });
  const forms = [
    ...spread.flatMap((solute) => solute.forms),
    ...waterForms(hydrogen, hydroxide),
    ...(share.equivalents > 0
      ? carbonateForms(share.equivalents, numbers.pH, ionicStrength, temperature)
      : []),
  ];
  return {
    ionicStrength: forms.reduce((sum, { amount, charge }) => sum + amount * charge ** 2, 0) / 2000,
    forms,
    meanCharges: spread.map(({ meanCharge }) => meanCharge),
    titratedCharges: spread.map(({ titratedCharge }) => titratedCharge),
    hydrogen,
    hydroxide,
    carbonate: share.equivalents,
    carbonatePerAlkalinity: share.perAlkalinity,
    alkalinityUsedUp: share.usedUp,
  };
}

/** Where the forms of a solute are looked at. */
interface Surroundings {
  readonly pH: number;
  readonly ionicStrength: number;
  readonly temperature: number | undefined;
  /** pH to which alkalinity was titrated; undefined for the equivalence point. */
  readonly endpoint: number | undefined;
}

function spreadSolute({ ion: of, acid }: Solute, amount: number, at: Surroundings) {
  if (!acid) {
    const forms: DissolvedForm[] = [{ name: of.name, charge: of.charge, amount, ion: of }];
    return { amount, forms, meanCharge: of.charge, titratedCharge: 0 };
  }
  const meanOf = (fractions: readonly number[]): number =>
    acid.forms.reduce((sum, { charge }, i) => sum + charge * fractions[i], 0);
  const fractions = acidFractions(acid, at.pH, at.ionicStrength, at.temperature);
  const charged = acid.forms.map((form, i) => ({ ...form, amount: amount * fractions[i] }));
  const meanCharge = meanOf(fractions);
  const titratedTo =
    at.endpoint === undefined
      ? acid.forms[acid.pKa.filter((pK) => pK < ZERO_LEVEL).length].charge
      : meanOf(acidFractions(acid, at.endpoint, at.ionicStrength, at.temperature));
  return {
    amount,
    forms: charged.filter(({ charge }) => charge !== 0),
    meanCharge,
    titratedCharge: titratedTo - meanCharge,
  };
}

function acidFractions(
  acid: AcidSystem,
  pH: number,
  ionicStrength: number,
  temperature: number | undefined,
): readonly number[] {
  // A water is balanced at any temperature: constants that are known at 25 °C only are used as they are.
  const pKa = acidConstantsAt(acid, temperature) ?? acid.pKa;
  const charges = acid.forms.map(({ charge }) => charge);
  return formFractions(mixedConstants(pKa, charges, ionicStrength, temperature), pH);
}

function protons(input: WaterInput, pH: number, ionicStrength: number) {
  if (input.pHAssumed) return { hydrogen: 0, hydroxide: 0 };
  const gamma = cappedActivityCoefficient(1, ionicStrength, input.temperature);
  const pKw = waterIonProductAt(input.temperature) ?? PK_WATER;
  const has = (name: string): boolean => input.solutes.some((solute) => solute.ion.name === name);
  const hydrogen = has("hydrogen") ? 0 : 10 ** (3 - pH) / gamma;
  const hydroxide = pH <= HYDROXIDE_PH || has("hydroxide") ? 0 : 10 ** (3 + pH - pKw) / gamma;
  return { hydrogen, hydroxide };
}

function waterForms(hydrogen: number, hydroxide: number): readonly DissolvedForm[] {
  const forms: DissolvedForm[] = [];
  if (hydrogen > 0) forms.push({ name: "hydrogen", charge: 1, amount: hydrogen, ion: ion("hydrogen") });
  if (hydroxide > 0) forms.push({ name: "hydroxide", charge: -1, amount: hydroxide, ion: ion("hydroxide") });
  return forms;
}

/** Spreads equivalents of hydrogencarbonate and carbonate, meq/L, over the two. */
function carbonateForms(
  equivalents: number,
  pH: number,
  ionicStrength: number,
  temperature: number | undefined,
): readonly DissolvedForm[] {
  const [, single, double] = acidFractions(CARBONATE, pH, ionicStrength, temperature);
  const total = equivalents / (single + 2 * double);
  return [
    { name: "hydrogencarbonate", charge: -1, amount: total * single, ion: ion("hydrogencarbonate") },
    { name: "carbonate", charge: -2, amount: total * double, ion: ion("carbonate") },
  ];
}
