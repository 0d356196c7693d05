import { describe, expect, it } from "vitest";
import { isIonbookError } from "../../toolkit/errors.js";
import { allIons, ion } from "../../toolkit/ions/ion-table.js";

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    return isIonbookError(error)
      ? `${error.code}: ${error.message}`
      : `not an IonbookError: ${String(error)}`;
  }
  return "nothing thrown";
};

describe("an ion is found by every way people write it", () => {
  const spellings: readonly (readonly [string, string])[] = [
    ["Cl-", "chloride"],
    ["Cl⁻", "chloride"],
    ["Cl−", "chloride"],
    ["NH4+", "ammonium"],
    ["NH₄⁺", "ammonium"],
    ["SO4^2-", "sulfate"],
    ["SO4 2-", "sulfate"],
    ["SO₄²⁻", "sulfate"],
    ["SO4^{2-}", "sulfate"],
    ["SO_4^{2-}", "sulfate"],
    ["SO42-", "sulfate"],
    ["SO4-2", "sulfate"],
    ["SO4--", "sulfate"],
    ["O4S 2-", "sulfate"],
    ["Ca^2+", "calcium"],
    ["Ca^{2+}", "calcium"],
    ["Ca2+", "calcium"],
    ["Ca²⁺", "calcium"],
    ["Ca++", "calcium"],
    ["Ca+2", "calcium"],
    [" Ca2+ ", "calcium"],
    ["NO3-", "nitrate"],
    ["NO2-", "nitrite"],
    ["PO43-", "phosphate"],
    ["H2PO4-", "dihydrogenphosphate"],
    ["HPO4 2-", "hydrogenphosphate"],
    ["HPO42-", "hydrogenphosphate"],
    ["N3-", "azide"],
    ["S2-", "sulfide"],
    ["OCN-", "cyanate"],
    ["CH3COO-", "acetate"],
    ["C2H3O2-", "acetate"],
    ["HCO2-", "formate"],
    ["CH3SO3-", "methanesulfonate"],
    ["(CH3)3NH+", "trimethylammonium"],
    ["H+", "hydrogen"],
    ["OH-", "hydroxide"],
    ["Sulfate", "sulfate"],
    ["sulphate", "sulfate"],
    ["SULFATE", "sulfate"],
    ["hydrogencarbonate", "hydrogencarbonate"],
    ["hydrogen carbonate", "hydrogencarbonate"],
    ["bicarbonate", "hydrogencarbonate"],
    ["caesium", "caesium"],
    ["cesium", "caesium"],
    ["aluminum", "aluminium"],
    ["Fe3+", "iron(III)"],
    ["Fe2+", "iron(II)"],
    ["iron(ii)", "iron(II)"],
    ["manganese", "manganese(II)"],
    ["oxalate2-", "oxalate"],
    ["methylammonium+", "methylammonium"],
    ["citrate3-", "citrate"],
    ["sulfamate-", "sulfamate"],
    ["HSO4-", "hydrogensulfate"],
    ["B(OH)4-", "borate"],
    ["H3SiO4-", "silicate"],
  ];
  it.each(spellings)("%s is %s", (text, name) => {
    expect(ion(text).name).toBe(name);
  });

  it("every name, alias, formula and printed formula of the table leads back to its ion, isomers by name", () => {
    const shared = new Set(["fumarate", "maleate"]);
    for (const each of allIons()) {
      for (const name of [each.name, ...each.aliases]) expect(ion(name)).toBe(each);
      if (shared.has(each.name)) continue;
      expect(ion(each.formula)).toBe(each);
      expect(ion(each.formulaText)).toBe(each);
    }
  });

  it("printed forms carry real subscripts and charges", () => {
    expect(ion("sulfate").formulaText).toBe("SO₄²⁻");
    expect(ion("SO4 2-").formula).toBe("SO4^2-");
    expect(ion("chloride").formulaText).toBe("Cl⁻");
    expect(ion("calcium").formulaText).toBe("Ca²⁺");
    expect(ion("borate").formulaText).toBe("B(OH)₄⁻");
    expect(ion("sulfate").formulaHtml).toBe("SO<sub>4</sub><sup>2−</sup>");
    expect(ion("ammonium").formulaHtml).toBe("NH<sub>4</sub><sup>+</sup>");
  });
});

describe("an unknown ion is refused with help", () => {
  it.each([
    ["sulfat", "sulfate"],
    ["clhoride", "chloride"],
    ["nitritee", "nitrite"],
    ["NO3", "nitrate (NO3-)"],
    ["Cl", "chloride (Cl-)"],
    ["SO4-", "sulfate (SO4^2-)"],
    ["Fe", "iron(II)"],
    ["C2H2(COO)2^2-", "fumarate, maleate"],
    ["C2H8N+", "dimethylammonium, ethylammonium"],
  ])("%s names %s", (text, hint) => {
    const thrown = codeOf(() => ion(text));
    expect(thrown).toMatch(/^unknown-ion: /);
    expect(thrown).toContain(hint);
  });
  it.each(["", " ", "unobtainium", "Xx2+", "42", "constructor", "__proto__", "+", "-", "^2-"])(
    "%j has no nearest name but a clear error",
    (text) => {
      expect(codeOf(() => ion(text))).toMatch(/^unknown-ion: /);
    },
  );
});
