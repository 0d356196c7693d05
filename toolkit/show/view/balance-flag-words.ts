const WORDS: Readonly<Record<string, string>> = {
  "assumed-pH": "No pH was given: weak acids and bases are counted as at pH 7.",
  "alkalinity-as-hydrogencarbonate": "Hydrogencarbonate is taken from the alkalinity.",
  "carbonate-in-alkalinity": "Carbonate given by name is part of the alkalinity and not counted besides.",
  "alkalinity-used-up": "Other bases take up the whole alkalinity: no hydrogencarbonate is left to count.",
  "hydrogencarbonate-from-air":
    "Hydrogencarbonate was not measured: it is computed from equilibrium with carbon dioxide of the air.",
  "no-balance-test":
    "The carbonate was taken from the difference itself, so the balance closes whatever the ions are: no balance test exists.",
  "organic-acids-in-alkalinity":
    "Organic acids take part in the titrated alkalinity: their part is taken out of it, and they count by name.",
  "organic-acids-beside-hydrogencarbonate":
    "Organic acids stand beside hydrogencarbonate: if that was computed from a titration, they are counted twice; give the alkalinity instead.",
  "metal-hydrolysis": "Aluminium and iron(III) count by their hydroxide complexes at this pH.",
  "constants-at-25": "Some acid constants are known at 25 °C only and used as they are.",
  "activity-beyond-validity":
    "The ionic strength is above 0.5 mol/L, beyond which activity coefficients are only held at their last value.",
  "unknowns-counted": "The unidentified anions are counted among the anions.",
};

/** A flag of a balance in plain words. */
export function balanceFlagWords(flag: string): string {
  return WORDS[flag] ?? flag;
}
