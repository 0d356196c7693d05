import { describe, expect, it } from "vitest";
import { molarMassOf } from "../../toolkit/ions/formula.js";
import { pipette, volumetricFlask } from "../../toolkit/standards/glassware.js";
import { planStandards } from "../../toolkit/standards/plan-standards.js";
import { prepareStandards } from "../../toolkit/standards/prepare-standards.js";
import { type OwnSolubility, SPARINGLY_SOLUBLE, saturations } from "../../toolkit/standards/solubility.js";
import type { Stock } from "../../toolkit/standards/stock.js";
import { activityCoefficient } from "../../toolkit/water/speciation/activity.js";
import { codeOf, messageOf } from "../calibration/published.js";

const flask = volumetricFlask(100);
const bought = (ion: string, concentration: number): Stock => ({
  name: ion,
  contents: [{ ion, concentration, uncertainty: { u: concentration / 500 } }],
});
const mixed = (stocks: readonly Stock[], solubility?: readonly OwnSolubility[], millilitres = 25) =>
  prepareStandards(
    {
      stocks,
      solutions: [
        {
          name: "mixture",
          flask,
          aliquots: stocks.map(({ name }) => ({ from: name, pipette: pipette(millilitres) })),
        },
      ],
    },
    solubility && { solubility },
  );

describe("saturation", () => {
  // Solubilities in water at 25 °C, g/L: CRC Handbook, physical constants of inorganic compounds (from memory). Gypsum's
  // own ion pairs, which are left out, hold a quarter of its calcium: it reads too saturated.
  it.each([
    ["BaSO4", { Ba: 1, S: 1, O: 4 }, 0.0025, 0.8, 1.25],
    ["AgCl", { Ag: 1, Cl: 1 }, 0.0019, 0.8, 1.25],
    ["CaF2", { Ca: 1, F: 2 }, 0.016, 0.7, 1.25],
    ["CaSO4·2H2O", { Ca: 1, S: 1, O: 6, H: 4 }, 2.6, 1, 1.7],
  ] as const)("of %s at its published solubility is near 1", (formula, atoms, grams, low, high) => {
    const salt = SPARINGLY_SOLUBLE.find((each) => each.formula === formula) ?? expect.fail(formula);
    const molar = grams / molarMassOf(atoms);
    const held = new Map([
      [salt.cation, molar * salt.counts[0]],
      [salt.anion, molar * salt.counts[1]],
    ]);
    const found = saturations(held).find((each) => each.salt.formula === formula);
    expect(found?.ratio).toBeGreaterThan(low);
    expect(found?.ratio).toBeLessThan(high);
    expect(found?.index).toBeCloseTo(Math.log10(found?.ratio ?? 0), 12);
  });

  it("counts activities by Davies, and what neutrality asks for as single charges", () => {
    const molar = new Map([
      ["barium", 1e-5],
      ["sulfate", 1e-5],
      ["nitrate", 0.04],
    ]);
    // ½(4·1e-5 + 4·1e-5 + 0.04 + 0.04 of a cation that nobody has named).
    const gamma = activityCoefficient(2, 0.04 + 4e-5);
    expect(saturations(molar)[0].ratio).toBeCloseTo((1e-5 * gamma) ** 2 / 1.08e-10, 9);
  });
});

describe("ions near saturation", () => {
  it("are a caution and no refusal, with the index, the constant and where it is from", () => {
    const made = mixed([bought("calcium", 40), bought("fluoride", 20)]);
    const { saturation } = made.levels[0];
    expect(saturation?.salt.formula).toBe("CaF2");
    expect(saturation?.index).toBeGreaterThan(-1);
    expect(saturation?.index).toBeLessThan(0.3);
    const said = made.cautions.map(({ text }) => text).join("\n");
    expect(said).toMatch(
      /calcium and fluoride stand near the saturation of CaF2, saturation index −?-?0\.\d+/,
    );
    expect(said).toContain("from memory");
    expect(String(made)).toContain("look for a precipitate");
  });

  it("slightly above saturation too; far above is refused, and names the constant with its source", () => {
    const above = mixed([bought("calcium", 60), bought("fluoride", 32)]);
    expect(above.levels[0].saturation?.index).toBeGreaterThan(0);
    const call = () => mixed([bought("calcium", 100), bought("fluoride", 50)]);
    expect(codeOf(call)).toBe("incompatible-ions");
    expect(messageOf(call)).toContain("3.45e-11");
    expect(messageOf(call)).toContain("from memory, unchecked");
    for (const [cation, anion] of [
      ["barium", "sulfate"],
      ["calcium", "fluoride"],
    ]) {
      const strong = () => mixed([bought(cation, 1000), bought(anion, 1000)], undefined, 1);
      expect(codeOf(strong)).toBe("incompatible-ions");
      expect(messageOf(strong)).toMatch(/solubility product of (BaSO4|CaF2) .*from memory/);
    }
  });
});

describe("solubility products of one's own", () => {
  const stocks = [bought("calcium", 40), bought("fluoride", 20)];
  it("take the place of the table's and are named with their source", () => {
    const lower = [{ formula: "CaF2", solubilityProduct: 1e-13, source: "our own, 18 °C" }];
    expect(codeOf(() => mixed(stocks, lower))).toBe("incompatible-ions");
    expect(messageOf(() => mixed(stocks, lower))).toContain("our own, 18 °C");
    const higher = [{ formula: "CaF2", solubilityProduct: 1e-8, source: "our own" }];
    expect(mixed(stocks, higher).levels[0].saturation?.index).toBeLessThan(-2);
  });

  it("add a salt that the table does not know", () => {
    const own = {
      formula: "KClO3",
      solubilityProduct: 1e-9,
      source: "invented",
      cation: "potassium",
      anion: "chlorate",
      counts: [1, 1],
    } as const;
    expect(codeOf(() => mixed([bought("potassium", 100), bought("chlorate", 100)]))).toBe("nothing thrown");
    expect(codeOf(() => mixed([bought("potassium", 100), bought("chlorate", 100)], [own]))).toBe(
      "incompatible-ions",
    );
  });

  it("go through a plan", () => {
    const wish = {
      stocks: [bought("calcium", 1000), bought("chloride", 1000)],
      levels: { calcium: [1, 2], chloride: [1, 2] },
    };
    const own = {
      formula: "CaCl2",
      solubilityProduct: 1e-12,
      source: "invented",
      cation: "calcium",
      anion: "chloride",
      counts: [1, 2],
    } as const;
    expect(planStandards(wish).levels).toHaveLength(2);
    expect(codeOf(() => planStandards(wish, { solubility: [own] }))).toBe("incompatible-ions");
  });

  const any = (value: unknown) => value as never;
  it.each<[string, unknown, string]>([
    ["no list", "BaSO4", "bad-option"],
    ["no source", [{ formula: "BaSO4", solubilityProduct: 1e-10 }], "bad-option"],
    ["a negative constant", [{ formula: "BaSO4", solubilityProduct: -1, source: "x" }], "bad-option"],
    ["an unknown salt without ions", [{ formula: "BaX", solubilityProduct: 1, source: "x" }], "unknown-salt"],
    [
      "two anions",
      [
        {
          formula: "BaX",
          solubilityProduct: 1,
          source: "x",
          cation: "sulfate",
          anion: "chloride",
          counts: [1, 1],
        },
      ],
      "bad-option",
    ],
    [
      "half an ion",
      [
        {
          formula: "BaX",
          solubilityProduct: 1,
          source: "x",
          cation: "barium",
          anion: "chloride",
          counts: [0.5, 1],
        },
      ],
      "bad-option",
    ],
    ["a misspelt name", [{ formula: "BaSO4", ksp: 1, source: "x" }], "unknown-option"],
  ])("%s: a typed error", (_, own, code) => {
    expect(codeOf(() => mixed(stocks, any(own)))).toBe(code);
  });
});
