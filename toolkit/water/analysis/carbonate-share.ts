import { carbonDioxideSolubilityAt } from "../speciation/acid-constants.js";
import { cappedActivityCoefficient } from "../speciation/activity.js";
import type { WaterInput } from "./water-input.js";

/** What hydrogencarbonate and carbonate are computed beside. */
interface Beside {
  /** Alkalinity in meq/L. */
  readonly numbers: { readonly pH: number; readonly alkalinity: number };
  /** H⁺ − OH⁻, mmol/L. */
  readonly excess: number;
  /** Protons that other bases take up when alkalinity is titrated, mmol/L. */
  readonly titrated: number;
  readonly ionicStrength: number;
  /** Fractions of carbonic acid, hydrogencarbonate and carbonate at a pH. */
  readonly fractionsAt: (pH: number) => readonly number[];
}

interface CarbonateShare {
  /** Hydrogencarbonate and carbonate, meq/L. */
  readonly equivalents: number;
  /** Change of the equivalents by one meq/L of alkalinity. */
  readonly perAlkalinity: number;
  /** True where other bases take up the whole alkalinity, or it is not positive. */
  readonly usedUp: boolean;
}

/**
 * Hydrogencarbonate and carbonate that no name was given for, meq/L.
 *
 * From alkalinity to the equivalence point: Alk + H⁺ − OH⁻ − t, t the protons other bases take up. To an endpoint pHₑ:
 * (Alk − Hₑ + H⁺ − OH⁻ − t)·z/(z − zₑ), z and zₑ equivalents per mole of inorganic carbon at the pH and at the endpoint.
 * In equilibrium with carbon dioxide: K_H·p·(α₁ + 2·α₂)/α₀.
 *
 * @source W. Stumm and J.J. Morgan, Aquatic Chemistry; K_H: L.N. Plummer and E. Busenberg 1982
 */
export function carbonateShare(input: WaterInput, beside: Beside): CarbonateShare {
  const none = { equivalents: 0, perAlkalinity: 0, usedUp: false };
  if (input.carbonDioxide !== undefined) {
    return { ...none, equivalents: fromAir(input.carbonDioxide, input.temperature, beside) };
  }
  if (input.alkalinity === undefined) return none;
  const { numbers, excess, titrated } = beside;
  const { end, perAlkalinity } = endOf(input, beside);
  const rest = numbers.alkalinity - end + excess - titrated;
  if (numbers.alkalinity <= 0 || rest <= 0 || !(perAlkalinity > 0)) return { ...none, usedUp: true };
  return { equivalents: rest * perAlkalinity, perAlkalinity, usedUp: false };
}

/** Free acid at the end of the titration, mmol/L, and the equivalents of carbonate for each one titrated. */
function endOf(
  { alkalinityEndpoint, temperature }: WaterInput,
  { numbers, ionicStrength, fractionsAt }: Beside,
) {
  if (alkalinityEndpoint === undefined) return { end: 0, perAlkalinity: 1 };
  const equivalents = (pH: number): number => fractionsAt(pH)[1] + 2 * fractionsAt(pH)[2];
  const own = equivalents(numbers.pH);
  return {
    end: 10 ** (3 - alkalinityEndpoint) / cappedActivityCoefficient(1, ionicStrength, temperature),
    perAlkalinity: own / (own - equivalents(alkalinityEndpoint)),
  };
}

function fromAir(
  pressure: number,
  temperature: number | undefined,
  { numbers, fractionsAt }: Beside,
): number {
  const solubility = carbonDioxideSolubilityAt(temperature) ?? carbonDioxideSolubilityAt(25) ?? Number.NaN;
  const [acid, single, double] = fractionsAt(numbers.pH);
  return (1000 * pressure * 10 ** -solubility * (single + 2 * double)) / acid;
}
