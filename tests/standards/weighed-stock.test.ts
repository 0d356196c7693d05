import { describe, expect, it } from "vitest";
import { laboratoryBalance } from "../../toolkit/standards/balance.js";
import { pipette, volumetricFlask } from "../../toolkit/standards/glassware.js";
import { planStandards } from "../../toolkit/standards/plan-standards.js";
import { prepareStandards } from "../../toolkit/standards/prepare-standards.js";
import type { Stock } from "../../toolkit/standards/stock.js";
import type { WeighedStock } from "../../toolkit/standards/weighed-stock.js";
import { buoyancyFactor } from "../../toolkit/standards/weighing.js";
import { correlation } from "../../toolkit/uncertainty/measured.js";
import { codeOf, published, titleOf } from "../calibration/published.js";
import { largestDifferencePercent } from "./glassware-simulation.js";
import { SOLID_IONS, SOLIDS, simulatedSolids } from "./weighed-stock-simulation.js";

const balance = laboratoryBalance(220);
const water = { value: 0.9993, uncertainty: { u: 0.0003 } };
const alone = (stock: Stock) => prepareStandards({ stocks: [stock], solutions: [] });
const salted = (more: Partial<WeighedStock>): WeighedStock => ({
  name: "chloride",
  salt: "NaCl",
  mass: 1648.5,
  balance,
  ...more,
});
const inFlask = (more: Partial<WeighedStock> = {}) => salted({ flask: volumetricFlask(1000), ...more });

const cadmium = published("t06_uncertainty.json", "quam_a1_calibration_standard");

describe("a stock from a solid on a balance", () => {
  it(`is worth as much as one with the mass's u by hand: ${titleOf(cadmium)}`, () => {
    const { m_mg, u_m, P } = cadmium.inputs as unknown as Record<string, number>;
    // A balance that leaves QUAM's 0.05 mg in a difference: s = 0.05/√2 mg, no linearity, no slope.
    const a1 = laboratoryBalance(220, {
      repeatability: u_m / Math.SQRT2 / 1000,
      linearity: 0,
      sensitivity: { u: 0 },
    });
    const flask = volumetricFlask(100, { repeatability: 0.02 });
    const found = alone({ name: "cadmium", salt: "Cd", mass: m_mg, balance: a1, purity: P, flask });
    const content = found.concentration("cadmium", "Cd^2+");
    expect(content.value).toBeCloseTo(1002.7, 1);
    expect(content.u).toBeCloseTo(0.835, 3);
  });

  it("carries mass, slope, purity, flask and temperature as sources", () => {
    const { budget } = {
      budget: alone(inFlask({ purity: 0.999 }))
        .concentration("chloride", "Cl-")
        .budget(),
    };
    const names = budget.map(({ source }) => source);
    for (const source of [
      "mass of chloride",
      "sensitivity of 220 g balance",
      "purity of chloride",
      "calibration of 1000 mL flask of chloride",
      "temperature, making chloride",
    ])
      expect(names).toContain(source);
    // √2·√(0.1² + 0.2²/3) mg of 1648.5 mg.
    const mass = budget.find(({ source }) => source === "mass of chloride");
    const content = alone(inFlask({ purity: 0.999 })).concentration("chloride", "Cl-").value;
    expect((mass?.contribution ?? 0) / content).toBeCloseTo(
      (Math.SQRT2 * Math.hypot(0.1, 0.2 / Math.sqrt(3))) / 1648.5,
      9,
    );
  });

  it("is corrected for buoyancy where the solid's density is stated, and says so where it is not", () => {
    const solidDensity = { value: 2.16, uncertainty: { u: 0.01 } };
    const [plain, corrected] = [alone(inFlask()), alone(inFlask({ solidDensity }))];
    const ratio =
      corrected.concentration("chloride", "Cl-").value / plain.concentration("chloride", "Cl-").value;
    expect(ratio).toBeCloseTo(buoyancyFactor(2.16), 12);
    expect(ratio).toBeCloseTo(1.000406, 6);
    expect(plain.cautions.some(({ text }) => text.includes("not corrected for buoyancy"))).toBe(true);
    expect(corrected.cautions.some(({ text }) => text.includes("not corrected for buoyancy"))).toBe(false);
    expect(String(corrected)).toContain("buoyancy is reckoned with");
  });

  it("counts the crystal water of the salt as it was bought", () => {
    const hydrate = alone({ ...inFlask({ salt: "CaCl2·2H2O", mass: 3668.4 }) }).concentration(
      "chloride",
      "Ca^2+",
    );
    const dry = alone({
      ...inFlask({ salt: { formula: "CaCl2", ions: { calcium: 1, chloride: 2 } }, mass: 3668.4 }),
    });
    // 40.078/147.01 and 40.078/110.98 of 3.6684 g/L, atomic masses of the 2021 abridged table.
    expect(hydrate.value).toBeCloseTo((3668.4 * 40.078) / 147.008, 1);
    expect(dry.concentration("chloride", "Ca^2+").value).toBeCloseTo((3668.4 * 40.078) / 110.978, 1);
  });

  it("made up by mass: mass over the volume that its density gives, with one slope that cancels", () => {
    const big = laboratoryBalance(2000, { name: "balance" });
    const stock = salted({
      balance: big,
      solutionMass: 999.31,
      density: water,
      solidDensity: { value: 2.16, uncertainty: { u: 0.01 } },
    });
    const made = alone(stock);
    const content = made.concentration("chloride", "Cl-");
    const volume = (999.31 * (1 - 1.2 / 8000)) / (0.9993 - 0.0012);
    expect(content.value).toBeCloseTo((1000 * 1648.5 * buoyancyFactor(2.16) * (35.45 / 58.44)) / volume, 2);
    const slope = content.budget().find(({ source }) => source === "sensitivity of balance");
    expect(Math.abs(slope?.contribution ?? 1) / content.value).toBeLessThan(1e-8);
    expect(String(made)).toContain("until all of it weighs 999.31 g (balance)");
  });

  it("a solid too light for its balance is warned of", () => {
    const made = alone(inFlask({ mass: 20 }));
    expect(made.cautions.some(({ text }) => /0\.02 g is below the 0\.2 g/.test(text))).toBe(true);
  });

  it("more than there is of it cannot be taken", () => {
    const recipe = {
      stocks: [inFlask({ flask: volumetricFlask(10) })],
      solutions: [
        {
          name: "level",
          flask: volumetricFlask(100),
          aliquots: [{ from: "chloride", pipette: pipette(20) }],
        },
      ],
    };
    expect(codeOf(() => prepareStandards(recipe))).toBe("not-enough");
  });
});

describe("planning from solids", () => {
  it("counts the chloride of every salt once: NaCl and KCl for sodium, potassium and chloride", () => {
    const stocks = [inFlask({ name: "NaCl" }), inFlask({ name: "KCl", salt: "KCl", mass: 1906.7 })];
    const potassium = [1, 2, 5];
    const sodium = [2, 4, 10];
    const chloride = [0, 1, 2].map((i) => (sodium[i] * 35.45) / 22.99 + (potassium[i] * 35.45) / 39.098);
    const plan = planStandards({ stocks, levels: { sodium, potassium, chloride } });
    plan.standards("chloride").forEach(({ concentration }, i) => {
      expect(Math.abs(concentration / chloride[i] - 1)).toBeLessThan(0.05);
    });
    const level = plan.levels[2];
    const [cl, na, k] = ["chloride", "sodium", "potassium"].map((ion) => level.ions.get(ion)?.value ?? 0);
    expect(cl).toBeCloseTo((na * 35.45) / 22.98977 + (k * 35.45) / 39.0983, 2);
    expect(codeOf(() => planStandards({ stocks, levels: { sodium, potassium, chloride: sodium } }))).toBe(
      "levels-do-not-fit",
    );
  });
});

describe("the covariance of levels from solids", () => {
  it("equals that of the same solids, flasks and balances handled 60 000 times, within 2 % (QUAM A1 among them)", () => {
    const made = prepareStandards(SOLIDS, { ions: SOLID_IONS });
    const { percent, pairs } = largestDifferencePercent(
      made.covariance().matrix,
      simulatedSolids(60_000, 1),
      0.5,
    );
    // Both variances of either ion, and the covariance of its levels.
    expect(pairs).toBe(6);
    expect(percent).toBeLessThan(2);
  });

  it("stocks on one balance share its slope and the air of their day", () => {
    const made = prepareStandards(SOLIDS);
    const [sodium, potassium] = ["sodium chloride", "potassium chloride"].map((name) =>
      made.concentration(name, "Cl-"),
    );
    expect(correlation(sodium, potassium)).toBeGreaterThan(0.1);
    expect(correlation(sodium, made.concentration("cadmium", "Cd^2+"))).toBe(0);
  });
});

describe("wrong calls", () => {
  it.each<[string, object, string]>([
    ["neither u nor balance", { balance: undefined, flask: volumetricFlask(100) }, "bad-uncertainty"],
    ["neither flask nor mass", {}, "bad-flask"],
    ["flask and mass", { flask: volumetricFlask(100), solutionMass: 100, density: water }, "bad-stock"],
    ["by mass without density", { solutionMass: 100 }, "no-density"],
    [
      "by mass without balance",
      { balance: undefined, massUncertainty: { u: 0.1 }, solutionMass: 100, density: water },
      "bad-balance",
    ],
    ["mass of the solution in kg", { solutionMass: 0.1, density: water }, "bad-mass"],
    ["more than the balance carries", { solutionMass: 1000, density: water }, "bad-mass"],
    [
      "solid density without balance",
      { balance: undefined, massUncertainty: { u: 0.1 }, solidDensity: water, flask: volumetricFlask(100) },
      "bad-stock",
    ],
    [
      "solid density in kg/m³",
      { solidDensity: { value: 2160, uncertainty: { u: 1 } }, flask: volumetricFlask(100) },
      "bad-density",
    ],
    ["a misspelt name", { flask: volumetricFlask(100), puritty: 0.9 }, "unknown-option"],
  ])("%s: a typed error", (_, more, code) => {
    expect(codeOf(() => alone(salted(more as Partial<WeighedStock>)))).toBe(code);
  });
});
