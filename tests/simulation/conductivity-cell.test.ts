import { describe, expect, it } from "vitest";
import { cellSolute } from "../../toolkit/simulation/cell-solute.js";
import { type CellBackground, ConductivityCell } from "../../toolkit/simulation/conductivity-cell.js";
import { naturalWater } from "../../toolkit/simulation/natural-water.js";

const WATER: CellBackground = { carbonicAcid: 0, leak: 0 };
const MICRO = 1e-6;

/** Response above the background over 1000(λ_H + λ), or 1000(λ_OH + λ) for a base; without ionic interaction. */
function relativeResponse(
  name: string,
  limit: number,
  micromoles: number,
  background: CellBackground,
): number {
  const cell = new ConductivityCell([cellSolute(name)], background, { ionicInteraction: false });
  const c = micromoles * MICRO;
  return (cell.conductivity([c]) - cell.conductivity([0])) / (1000 * c * limit);
}

describe("the cell behind a suppressor", () => {
  // Source: handbook CONDUCTIVITY §1 [C]: 1 µmol/L HCl = 0.426 µS/cm, limiting conductivities of the CRC Handbook.
  it("shows 0.426 µS/cm for each µmol/L of hydrochloric acid where water itself is silent", () => {
    const cell = new ConductivityCell(
      [cellSolute("chloride")],
      { carbonicAcid: 0, leak: 20 * MICRO },
      { ionicInteraction: false },
    );
    expect(cell.conductivity([MICRO]) - cell.conductivity([0])).toBeCloseTo(0.426, 3);
  });

  // Source: handbook CONDUCTIVITY §3, table from equilibrium (study conductivity_results.txt, computed there).
  it.each([
    ["chloride", 425.96, [0.508, 0.884, 0.987, 0.999, 1.0]],
    ["fluoride", 405.05, [0.483, 0.876, 0.972, 0.881, 0.547]],
    ["acetate", 390.55, [0.458, 0.822, 0.698, 0.339, 0.124]],
    ["sodium", 248.08, [0.156, 0.8, 0.978, 0.998, 1.0]],
    ["ammonium", 271.5, [0.225, 0.768, 0.696, 0.342, 0.125]],
  ] as [string, number, number[]][])(
    "bends for %s in pure water as equilibrium demands",
    (name, limit, expected) => {
      for (const [i, c] of [0.1, 1, 10, 100, 1000].entries()) {
        expect(Math.abs(relativeResponse(name, limit, c, WATER) - expected[i])).toBeLessThan(0.0015);
      }
    },
  );

  // Source: handbook CONDUCTIVITY §3 as above; dips of the cation channel included.
  it.each([
    ["chloride", 425.96, [0.611, 0.674, 0.9, 0.988, 0.999]],
    ["sodium", 248.08, [-0.514, -0.395, 0.482, 0.942, 0.993]],
    ["ammonium", 271.5, [-0.383, -0.274, 0.371, 0.318, 0.123]],
  ] as [string, number, number[]][])(
    "bends for %s on 5 µmol/L carbonic acid as equilibrium demands",
    (name, limit, expected) => {
      for (const [i, c] of [0.1, 1, 10, 100, 1000].entries()) {
        const response = relativeResponse(name, limit, c, { carbonicAcid: 5 * MICRO, leak: 0 });
        expect(Math.abs(response - expected[i])).toBeLessThan(0.002);
      }
    },
  );

  // Source: handbook CONDUCTIVITY §3, backgrounds [C].
  it.each([
    [0, 0.055],
    [5, 0.51],
    [5900, 20.1],
  ])("reads on %f µmol/L carbonic acid alone %f µS/cm", (carbonic, expected) => {
    const cell = new ConductivityCell(
      [],
      { carbonicAcid: carbonic * MICRO, leak: 0 },
      { ionicInteraction: false },
    );
    expect(Math.abs(cell.conductivity([]) / expected - 1)).toBeLessThan(0.005);
  });

  it("answers halved amounts of a strong acid with halved signals on a background that silences water", () => {
    const cell = new ConductivityCell(
      [cellSolute("nitrate")],
      { carbonicAcid: 0, leak: 50 * MICRO },
      { ionicInteraction: false },
    );
    const more = (c: number): number => cell.conductivity([c]) - cell.conductivity([0]);
    expect(more(8 * MICRO) / more(4 * MICRO)).toBeCloseTo(2, 5);
  });

  it("lets acids share their hydrogen ions: two weak ones together give less than apart", () => {
    const both = new ConductivityCell([cellSolute("acetate"), cellSolute("formate")], WATER);
    const [none, one, other, all] = [
      [0, 0],
      [5e-5, 0],
      [0, 5e-5],
      [5e-5, 5e-5],
    ].map((c) => both.conductivity(c));
    expect(all - none).toBeLessThan(0.97 * (one - none + (other - none)));
  });

  // Source: KCl at 25 °C, Standard Methods 2510 table of conductivity standards, as read in handbook BALANCE §5.
  it.each([
    [0.0001, 14.9],
    [0.0005, 73.9],
    [0.001, 146.9],
    [0.005, 717.5],
    [0.01, 1412],
  ])("gives %f mol/L potassium chloride its published conductivity, %f µS/cm", (c, expected) => {
    const cell = new ConductivityCell([cellSolute("potassium"), cellSolute("chloride")], WATER);
    expect(Math.abs((cell.conductivity([c, c]) - cell.conductivity([0, 0])) / expected - 1)).toBeLessThan(
      0.004,
    );
  });

  it("refuses an ion without a known conductivity", () => {
    expect(() => cellSolute("selenite")).toThrow(expect.objectContaining({ code: "no-conductivity" }));
  });
});

describe("a natural water made electroneutral", () => {
  // Source: handbook BALANCE §2 (example water, computed there): conductivity 538.8 µS/cm for a water whose anions fall
  // 0.081 meq/L short; made neutral with hydrogencarbonate it carries 3 µS/cm more.
  it("closes the example water of handbook BALANCE with its alkalinity and conductivity", () => {
    const composition = {
      calcium: 62,
      magnesium: 14,
      sodium: 23,
      potassium: 3.1,
      ammonium: 0.05,
      chloride: 31,
      nitrate: 18,
      sulfate: 42,
      fluoride: 0.15,
    };
    const water = naturalWater(composition, 7.6, "alkalinity");
    expect(Math.abs(water.alkalinity / 50.04 - (5.3285 - 2.0471))).toBeLessThan(0.003);
    expect(Math.abs(water.conductivity - 542)).toBeLessThan(2);
    // Handbook BALANCE §4 [C]: at pH 7.60 alkalinity 3.20 meq/L is 3.37 mmol/L of carbonate in all.
    expect(water.totalCarbonate / (water.alkalinity / 50.04 / 1000)).toBeCloseTo(3.37 / 3.2, 2);
  });

  it("refuses a water with more anions than cations", () => {
    expect(() => naturalWater({ chloride: 100, sodium: 10 }, 7, "alkalinity")).toThrow(
      expect.objectContaining({ code: "not-neutral" }),
    );
  });
});
