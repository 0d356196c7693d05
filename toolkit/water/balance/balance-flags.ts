import type { WaterInput } from "../analysis/water-input.js";
import type { WaterState } from "../analysis/water-state.js";
import { metalHydrolysis } from "../speciation/metal-hydrolysis.js";

/** Part of the carbonate above which organic acids beside it are worth a word. */
const NOTICEABLE = 0.005;
/** A difference of sums that share a titrated number is never this small by chance. */
const BY_CONSTRUCTION = 1e-9;
/** Davies' formula holds to here, mol/L. */
const DAVIES_REACH = 0.5;

/** What a reader of a balance must know of how it was counted, beyond what the analysis itself was flagged with. */
export function flagsOf(
  input: WaterInput,
  state: WaterState,
  sums: { readonly cations: number; readonly anions: number },
): readonly string[] {
  const flags: string[] = [];
  const add = (flag: string, when: boolean): void => {
    if (when) flags.push(flag);
  };
  const named = input.solutes.find(({ ion }) => ion.name === "hydrogencarbonate");
  const organic = titratedOrganic(input, state);
  add("alkalinity-used-up", state.alkalinityUsedUp);
  add(
    "organic-acids-in-alkalinity",
    input.alkalinity !== undefined && organic > NOTICEABLE * input.alkalinity.value,
  );
  add(
    "organic-acids-beside-hydrogencarbonate",
    named !== undefined && organic > (NOTICEABLE * named.concentration.value) / named.ion.molarMass,
  );
  add(
    "metal-hydrolysis",
    input.solutes.some(({ ion, acid }) => acid !== undefined && metalHydrolysis(ion.name) !== undefined),
  );
  add("activity-beyond-validity", state.ionicStrength > DAVIES_REACH);
  const carbonate = input.alkalinity !== undefined || named !== undefined;
  const open = Math.abs(sums.cations - sums.anions);
  add("no-balance-test", carbonate && open <= BY_CONSTRUCTION * (sums.cations + sums.anions));
  return flags;
}

/** Protons that organic acids and amines take up when alkalinity is titrated, mmol/L. */
function titratedOrganic(input: WaterInput, state: WaterState): number {
  return input.solutes.reduce((sum, { ion, concentration, acid }, i) => {
    const amount = concentration.value / ion.molarMass;
    return acid?.organic ? sum + Math.max(0, state.titratedCharges[i] * amount) : sum;
  }, 0);
}
