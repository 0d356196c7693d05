// Plans for invented stocks; the rules they keep are the handbook's (Calibration 1, common practice).
import { describe, expect, it } from "vitest";
import {
  type Glassware,
  pipette,
  pistonPipette,
  volumetricFlask,
} from "../../toolkit/standards/glassware.js";
import { type PlanOptions, planStandards } from "../../toolkit/standards/plan-standards.js";
import { isWeighed } from "../../toolkit/standards/solution.js";
import type { Stock } from "../../toolkit/standards/stock.js";
import type { StandardsPreparation } from "../../toolkit/standards/types.js";
import { codeOf } from "../calibration/published.js";

const bought = (ion: string, salt?: string, concentration = 1000): Stock => ({
  name: `${ion} stock`,
  contents: [{ ion, concentration, uncertainty: { expanded: concentration / 250, k: 2 } }],
  ...(salt !== undefined && { salt }),
});
const ANIONS: readonly Stock[] = [
  bought("fluoride", "NaF"),
  bought("chloride", "NaCl"),
  bought("nitrate", "NaNO3"),
  bought("phosphate", "KH2PO4"),
  bought("sulfate", "Na2SO4"),
];
const BASE = [0.1, 0.25, 0.5, 1, 2.5, 5, 10];
const LEVELS = {
  fluoride: BASE.map((x) => x / 10),
  chloride: BASE,
  nitrate: BASE,
  phosphate: BASE.map((x) => x / 2),
  sulfate: BASE,
};

/** What a plan must keep whatever it was asked for. */
function expectKept(plan: StandardsPreparation, levels: Readonly<Record<string, readonly number[]>>): void {
  for (const [ion, list] of Object.entries(levels)) {
    const found = plan.standards(ion).map(({ concentration }) => concentration);
    expect(found).toHaveLength(list.length);
    const worst = Math.max(...list.map((wanted, i) => Math.abs(found[i] / wanted - 1)));
    expect(worst, ion).toBeLessThan(0.05);
  }
  for (const { solution } of plan.solutions) {
    if (isWeighed(solution)) throw new Error("a plan is made of flasks");
    for (const aliquot of solution.aliquots) {
      if (isWeighed(aliquot)) throw new Error("a plan is made of pipettes");
      const { pipette: glass, volume = glass.volume, times = 1 } = aliquot;
      expect(volume).toBeGreaterThanOrEqual(glass.smallest);
      expect(volume).toBeLessThanOrEqual(glass.volume);
      expect(solution.flask.volume / (volume * times)).toBeLessThanOrEqual(200.001);
    }
  }
}

describe("a plan for levels in one proportion", () => {
  const plan = planStandards({ stocks: ANIONS, levels: LEVELS }, { title: "Five anions" });

  it("meets all of them from mixtures, no step beyond 1:200, no pipette below a tenth of its range", () => {
    expectKept(plan, LEVELS);
    expect(plan.levels).toHaveLength(7);
    expect(plan.solutions.length).toBeLessThanOrEqual(9);
    for (const { solution } of plan.levels) expect(solution.aliquots).toHaveLength(1);
  });

  it("brings relative uncertainties that grow downwards in the tree, never below the certificate's 0.2 %", () => {
    for (const { u, concentration } of plan.standards("chloride")) {
      expect(u / concentration).toBeGreaterThan(0.002);
      expect(u / concentration).toBeLessThan(0.015);
    }
  });

  it("prints a card with every step, content, caution and line to sign", () => {
    const card = String(plan);
    expect(card).toMatch(/^Five anions/);
    for (const { name } of plan.solutions) expect(card).toContain(name);
    expect(card).toContain("225.9 mg/L as N");
    expect(card).toMatch(/hydrogen fluoride/);
    expect(card).toMatch(/Prepared by _+/);
  });
});

describe("a plan for levels of another proportion each", () => {
  it("gives each stock its own way and counts counter-ions: chloride of three salts comes out as asked", () => {
    const levels = { sodium: [1, 2, 5, 10], potassium: [4, 3, 2, 1], chloride: [20, 30, 40, 50] };
    const stocks = [bought("sodium", "NaCl"), bought("potassium", "KCl"), bought("chloride", "NH4Cl")];
    const plan = planStandards({ stocks, levels });
    expectKept(plan, levels);
    expect(plan.cautions.some(({ about, text }) => about === "chloride" && text.includes("3 stocks"))).toBe(
      true,
    );
  });

  it("refuses chloride below what the counter-ions bring", () => {
    const stocks = [bought("sodium", "NaCl"), bought("chloride", "NH4Cl")];
    expect(codeOf(() => planStandards({ stocks, levels: { sodium: [10], chloride: [5] } }))).toBe(
      "counter-ion-too-much",
    );
  });
});

describe("a plan that cannot be", () => {
  const call =
    (levels: object, stocks: readonly Stock[] = ANIONS, options?: PlanOptions) =>
    () =>
      planStandards({ stocks, levels: levels as Record<string, number[]> }, options);
  const only: readonly Glassware[] = [pipette(10)];
  it.each<readonly [string, string, () => unknown]>([
    ["nothing", "bad-wish", () => planStandards(undefined as never)],
    ["an unknown option", "unknown-option", call({ chloride: [1] }, ANIONS, { pipete: [] } as never)],
    [
      "flasks for pipettes",
      "bad-option",
      call({ chloride: [1] }, ANIONS, { pipettes: [volumetricFlask(10)] }),
    ],
    ["a flask without a list", "bad-option", call({ chloride: [1] }, ANIONS, { flasks: 100 } as never)],
    ["lists of unequal length", "bad-levels", call({ chloride: [1, 2], sulfate: [1] })],
    ["a level of zero", "bad-levels", call({ chloride: [0, 1] })],
    ["NaN", "bad-levels", call({ chloride: [Number.NaN] })],
    ["no levels", "bad-levels", call({})],
    ["an ion no stock holds", "no-stock", call({ bromide: [1] })],
    [
      "1:10 000 with one pipette of 10 mL",
      "out-of-reach",
      call({ chloride: [0.1] }, [bought("chloride")], { pipettes: only }),
    ],
    [
      "barium with sulfate",
      "incompatible-ions",
      call({ barium: [1, 10], sulfate: [1, 10] }, [bought("barium"), bought("sulfate")]),
    ],
    [
      "calcium with fluoride",
      "incompatible-ions",
      call({ calcium: [1, 10], fluoride: [1, 10] }, [bought("calcium"), bought("fluoride")]),
    ],
    [
      "a stock of two ions in another proportion",
      "levels-do-not-fit",
      call({ chloride: [1], sulfate: [10] }, [
        {
          name: "two",
          contents: ["chloride", "sulfate"].map((ion) => ({
            ion,
            concentration: 100,
            uncertainty: { u: 1 },
          })),
        },
      ]),
    ],
  ])("%s", (_, code, plan) => {
    expect(codeOf(plan)).toBe(code);
  });

  it("is rescued by a piston pipette and a litre", () => {
    const plan = planStandards(
      { stocks: [bought("chloride")], levels: { chloride: [0.1, 0.2] } },
      { pipettes: [pistonPipette(10)], levelFlask: volumetricFlask(1000) },
    );
    expectKept(plan, { chloride: [0.1, 0.2] });
  });
});
