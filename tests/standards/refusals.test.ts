import { describe, expect, it } from "vitest";
import { pipette, volumetricFlask } from "../../toolkit/standards/glassware.js";
import { prepareStandards } from "../../toolkit/standards/prepare-standards.js";
import type { Solution } from "../../toolkit/standards/solution.js";
import type { Stock } from "../../toolkit/standards/stock.js";
import { codeOf, messageOf } from "../calibration/published.js";

const flask = volumetricFlask(100);
const bought = (ion: string, concentration = 1000, more: object = {}): Stock => ({
  name: ion,
  contents: [{ ion, concentration, uncertainty: { expanded: concentration / 250, k: 2 } }],
  ...more,
});
/** Both stocks into one flask, so much of each. */
const together = (stocks: readonly Stock[], millilitres = 1, more: Partial<Solution> = {}) =>
  prepareStandards({
    stocks,
    solutions: [
      {
        name: "mixture",
        flask,
        aliquots: stocks.map(({ name }) => ({ from: name, pipette: pipette(millilitres) })),
        ...more,
      },
    ],
  });

describe("ions that cannot share a flask", () => {
  it.each([
    ["barium", "sulfate"],
    ["calcium", "fluoride"],
    ["magnesium", "fluoride"],
    ["silver", "chloride"],
    ["silver", "bromide"],
    ["silver", "iodide"],
    ["lead(II)", "sulfate"],
    ["calcium", "oxalate"],
    ["calcium", "carbonate"],
    ["calcium", "phosphate"],
    ["nitrite", "sulfamate"],
    ["chlorite", "sulfite"],
  ])("%s with %s is refused, both by name", (first, second) => {
    const call = () => together([bought(first), bought(second)]);
    expect(codeOf(call)).toBe("incompatible-ions");
    expect(messageOf(call)).toContain(first);
    expect(messageOf(call)).toContain(second);
  });

  it("counter-ions count: silver nitrate with sodium bromide's stock, barium chloride with silver", () => {
    const silver = bought("silver", 1000, { salt: "AgNO3" });
    expect(codeOf(() => together([silver, bought("barium", 1000, { salt: "BaCl2·2H2O" })]))).toBe(
      "incompatible-ions",
    );
    expect(codeOf(() => together([silver, bought("barium", 1000, { salt: "Ba(NO3)2" })]))).toBe(
      "nothing thrown",
    );
  });

  it("the seven usual anions share one, and so do the six usual cations", () => {
    const anions = ["fluoride", "chloride", "nitrite", "bromide", "nitrate", "phosphate", "sulfate"];
    const cations = ["lithium", "sodium", "ammonium", "potassium", "magnesium", "calcium"];
    expect(together(anions.map((each) => bought(each))).levels).toHaveLength(1);
    expect(together(cations.map((each) => bought(each))).levels).toHaveLength(1);
  });

  // 500 mg/L of either are a third of gypsum's saturation: activities count, as in waters that stand over gypsum.
  it("calcium and sulfate share a thin one, a stronger one with a caution, not a strong one", () => {
    const [calcium, sulfate] = [bought("calcium"), bought("sulfate")];
    const warned = (millilitres: number) =>
      together([calcium, sulfate], millilitres).cautions.some(({ text }) => text.includes("CaSO4"));
    expect(warned(1)).toBe(false);
    expect(warned(25)).toBe(true);
    const strong = [bought("calcium", 10_000), bought("sulfate", 10_000)];
    expect(codeOf(() => together(strong, 25))).toBe("incompatible-ions");
  });

  it("nitrite with ammonium: a caution in water, refused in acid, as nitrite alone is", () => {
    const acid = { matrix: { acid: "nitric acid", molarity: 0.01 } } as const;
    const { cautions } = together([bought("nitrite"), bought("ammonium")]);
    expect(cautions.some(({ text }) => text.includes("nitrogen"))).toBe(true);
    expect(codeOf(() => together([bought("nitrite"), bought("ammonium")], 1, acid))).toBe(
      "incompatible-ions",
    );
    expect(messageOf(() => together([bought("nitrite")], 1, acid))).toMatch(/Danger.*nitrogen oxides/);
    const sour = bought("calcium", 1000, { matrix: { acid: "nitric acid", molarity: 0.3 } });
    expect(codeOf(() => together([bought("nitrite"), sour]))).toBe("incompatible-ions");
  });
});

describe("slips", () => {
  const certified = (name: string, unit: "mg/L" | "mg/L as N", ion = "nitrate"): Stock => ({
    name,
    contents: [{ ion, concentration: 1000, unit, uncertainty: { u: 2 } }],
  });
  it.each(["nitrate-N, lot 7", "NO3-N 1000", "nitrate 1000 mg/L as N", "Nitrate nitrogen"])(
    "a stock called %s must have its unit as N",
    (name) => {
      expect(codeOf(() => prepareStandards({ stocks: [certified(name, "mg/L")], solutions: [] }))).toBe(
        "form-slip",
      );
      expect(
        messageOf(() => prepareStandards({ stocks: [certified(name, "mg/L")], solutions: [] })),
      ).toContain("4.43");
      const right = prepareStandards({ stocks: [certified(name, "mg/L as N")], solutions: [] });
      expect(right.concentration(name, "nitrate").value).toBeCloseTo(4426.64, 1);
    },
  );
  it.each(["nitrate as NO3", "nitrate NIST traceable", "sodium nitrate"])(
    "a stock called %s may be in mg/L",
    (name) => {
      expect(codeOf(() => prepareStandards({ stocks: [certified(name, "mg/L")], solutions: [] }))).toBe(
        "nothing thrown",
      );
    },
  );
  it("NO3-N is no ion; the message says how to write it", () => {
    const call = () => prepareStandards({ stocks: [certified("a", "mg/L", "NO3-N")], solutions: [] });
    expect(codeOf(call)).toBe("form-slip");
    expect(messageOf(call)).toContain('unit: "mg/L as N"');
  });

  const weighed = (mass: number, unit: "mg/L" | "mg/L as N", salt = "NaNO3", ion = "nitrate"): Stock => ({
    name: "weighed",
    salt,
    mass,
    massUncertainty: { u: 0.1 },
    flask: volumetricFlask(1000),
    declared: { ion, concentration: 1000, unit },
  });
  it.each([
    ["the label counts nitrate as N", weighed(1370.8, "mg/L as N"), /calculated for N|nitrate as N/],
    [
      "the salt was weighed for its own thousand",
      weighed(1000, "mg/L", "NaCl", "chloride"),
      /counts NaCl, not chloride/,
    ],
    ["the mass was in grams", weighed(1.3708, "mg/L"), /1\/1000/],
  ])("%s", (_, stock, said) => {
    const call = () => prepareStandards({ stocks: [stock], solutions: [] });
    expect(codeOf(call)).toBe("stock-not-as-declared");
    expect(messageOf(call)).toMatch(said);
  });
  it("a label that fits passes", () => {
    const stock = weighed(1370.8, "mg/L");
    expect(prepareStandards({ stocks: [stock], solutions: [] }).ions).toEqual(["nitrate"]);
  });

  it("chloride from NaCl and from KCl: counted, and a level declared without the second is refused", () => {
    const stocks = [bought("chloride", 1000, { salt: "NaCl" }), bought("potassium", 1000, { salt: "KCl" })];
    const mixture = together(stocks);
    // KCl: 35.45/39.098 of the potassium.
    expect(mixture.concentration("mixture", "chloride").value).toBeCloseTo(10 + (10 * 35.45) / 39.098, 6);
    expect(
      mixture.cautions.some(({ about, text }) => about === "chloride" && text.includes("2 stocks")),
    ).toBe(true);
    const call = () => together(stocks, 1, { declared: { chloride: 10, potassium: 10 } });
    expect(codeOf(call)).toBe("level-not-as-declared");
    expect(messageOf(call)).toContain("potassium brings 9.07 mg/L more as counter-ion");
    expect(codeOf(() => together(stocks, 1, { declared: { chloride: 19.07 } }))).toBe("nothing thrown");
  });

  it("an ion that an acid brings is no standard", () => {
    const stock = bought("calcium", 1000, {
      salt: "Ca(NO3)2·4H2O",
      matrix: { acid: "nitric acid", molarity: 0.3 },
    });
    const recipe = {
      stocks: [stock],
      solutions: [{ name: "level", flask, aliquots: [{ from: "calcium", pipette: pipette(1) }] }],
    };
    expect(codeOf(() => prepareStandards(recipe, { ions: ["nitrate"] }))).toBe("acid-holds-ion");
    expect(prepareStandards(recipe).ions).toEqual(["calcium"]);
  });
});

describe("cautions", () => {
  it("for acids and oxidisers stand on the card", () => {
    const stock: Stock = {
      name: "bromate",
      salt: "KBrO3",
      mass: 130.6,
      massUncertainty: { u: 0.1 },
      flask: volumetricFlask(100),
    };
    const acid = bought("calcium", 1000, { matrix: { acid: "nitric acid", molarity: 0.3 } });
    const card = String(prepareStandards({ stocks: [stock, acid], solutions: [] }));
    expect(card).toMatch(/KBrO3: oxidiser/);
    expect(card).toMatch(/KBrO3: .*cancer/);
    expect(card).toMatch(/calcium: corrosive and an oxidiser.*acid into water/);
  });
});
