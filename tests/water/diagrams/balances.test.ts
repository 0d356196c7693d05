import { describe, expect, it } from "vitest";
import { measured, minus, plus } from "../../../toolkit/uncertainty/measured.js";
import { chargeBalance } from "../../../toolkit/water/balance/charge-balance.js";
import { balanceBars } from "../../../toolkit/water/diagrams/balance-bars.js";
import { balanceSeries } from "../../../toolkit/water/diagrams/balance-series.js";
import { openPublishedWaters } from "../../../toolkit/water/published/published-waters.js";
import { wrongly } from "../wrongly.js";
import { EXAMPLE, uncertain } from "./waters.js";

describe("paired balance bars", () => {
  it("end at the sums of the handbook's example water", () => {
    // Source: handbook of the project, balances, paragraph 2, without its fluoride: 5.3285 and 5.2391 meq/L.
    const [{ cationBar, anionBar, percentDifference, passed }] = balanceBars(EXAMPLE).pairs;
    expect(cationBar.pieces[cationBar.pieces.length - 1].to).toBeCloseTo(5.3285, 2);
    expect(anionBar.pieces[anionBar.pieces.length - 1].to).toBeCloseTo(5.2391, 2);
    expect(percentDifference.value).toBeCloseTo((100 * (5.3285 - 5.2391)) / (5.3285 + 5.2391), 1);
    expect(passed).toBe(true);
    expect(cationBar.pieces.map(({ ion }) => ion).slice(0, 3)).toEqual(["calcium", "magnesium", "sodium"]);
  });

  it("are those of a balance that was made before, and judge as it does", () => {
    const { concentrations, alkalinity, pH } = uncertain(EXAMPLE, 0.02);
    const balance = chargeBalance(concentrations as Record<string, number>, {
      alkalinity: alkalinity as number,
      pH: pH as number,
    });
    const [made] = balanceBars(balance).pairs;
    const [ofWater] = balanceBars(uncertain(EXAMPLE, 0.02)).pairs;
    expect(ofWater.cations.value).toBe(made.cations.value);
    expect(ofWater.percentDifference.u).toBeCloseTo(made.percentDifference.u, 12);
    expect(ofWater.passed).toBe(made.passed);
    expect(balanceBars([balance, balance]).pairs.map(({ name }) => name)).toEqual(["water 1", "water 2"]);
  });

  it("draw a bounded ion open at the end, at its bound, and count half of it with its whole range", () => {
    const limit = 42;
    const bounded = { ...EXAMPLE.concentrations, sulfate: { below: limit } };
    const [pair] = balanceBars(uncertain({ ...EXAMPLE, concentrations: bounded }, 0.01)).pairs;
    const last = pair.anionBar.pieces[pair.anionBar.pieces.length - 1];
    expect(last).toMatchObject({ ion: "sulfate", open: true });
    expect(last.to - last.from).toBeCloseTo(0.8745, 3);
    const part = pair.parts.find(({ ion }) => ion === "sulfate");
    // Source: JCGM 100, 4.3.7: a rectangle of half-width a has the standard uncertainty a/√3.
    expect(part?.milliequivalents.value).toBeCloseTo(0.8745 / 2, 3);
    expect(part?.milliequivalents.u).toBeCloseTo(0.8745 / 2 / Math.sqrt(3), 3);
    expect(pair.anionBar.pieces.filter(({ open }) => open)).toHaveLength(1);
  });

  it("change to percent of the larger sum where waters differ more than twentyfold", () => {
    const brine = { name: "brine", concentrations: { sodium: 5000, chloride: 8000 } };
    expect(balanceBars([EXAMPLE, brine]).scale).toBe("percent");
    expect(balanceBars([EXAMPLE, brine], { scale: "charge" }).scale).toBe("charge");
  });
});

describe("a series of balances", () => {
  it("reproduces the published percent differences of the river analyses", async () => {
    // Source: dataset river-analyses, U.S. Geological Survey, column Pct_Diff, rounded to 0.01 %.
    const published = await openPublishedWaters("datasets/river-analyses");
    const { points, notes } = balanceSeries(published);
    for (const [i, { published: printed }] of published.waters.entries())
      expect(Math.abs(points[i].percentDifference.value - (printed.percentDifference ?? 0))).toBeLessThan(
        0.03,
      );
    expect(points.filter(({ open }) => open).map(({ order }) => order)).toEqual([1]);
    expect(notes.join(" ")).toContain("hydrogencarbonate");
  });

  it("draws the limits of a rule at each water's charge", () => {
    // Source: Standard Methods 1030 E (from memory), handbook, balances, paragraph 3: 0.2 meq/L to 3 meq/L, 2 % to 10, 5 % above.
    const water = (name: string, factor: number) => ({
      name,
      concentrations: { sodium: 22.99 * factor, chloride: 35.45 * factor },
    });
    const { points, limitSources } = balanceSeries([
      water("a", 2),
      water("b", 5),
      water("c", 20),
      water("d", 0.1),
    ]);
    expect(points[0].limit).toBeCloseTo((100 * 0.2) / 4, 1);
    expect(points[1].limit).toBe(2);
    expect(points[2].limit).toBe(5);
    // World Meteorological Organization (from memory): 15 % of half of both sums from 100 to 500 µeq/L.
    expect(points[3].limit).toBe(7.5);
    expect(limitSources).toHaveLength(2);
  });

  it("keeps in its mean what all waters share", () => {
    // Two waters whose sodium comes from one standard: their differences move together.
    const shared = measured(0, "mg/L", { u: 1 }, { source: "sodium standard" });
    const own = (name: string) => measured(0, "mg/L", { u: 0.2 }, { source: name });
    const water = (name: string) => ({
      ...EXAMPLE,
      name,
      concentrations: {
        ...EXAMPLE.concentrations,
        sodium: plus(plus(shared, own(name)), 23),
      },
    });
    const { mean, points } = balanceSeries([water("a"), water("b")]);
    const [a, b] = points.map(({ percentDifference }) => percentDifference);
    expect(mean?.u).toBeGreaterThan(0.97 * a.u);
    expect(minus(a, b).u).toBeLessThan(0.4 * a.u);
  });

  it("leaves out waters without any charge and says so", () => {
    const { points, notes } = balanceSeries([EXAMPLE, { name: "empty", concentrations: {} }]);
    expect(points).toHaveLength(1);
    expect(notes.join(" ")).toContain("no charge was found: empty");
  });
});

describe("calls of both", () => {
  const [bars, series] = [wrongly(balanceBars), wrongly(balanceSeries)];

  it.each([
    ["balanceBars of nothing", () => bars(), "no-waters"],
    ["results without balances", () => bars({ balances: [] }), "no-balances"],
    ["a misspelt option", () => bars(EXAMPLE, { scales: "percent" }), "unknown-option"],
    ["an unknown scale", () => bars(EXAMPLE, { scale: "log" }), "bad-option"],
    ["balanceSeries of nothing", () => series([]), "no-waters"],
    ["an unknown axis", () => series(EXAMPLE, { against: "time" }), "bad-option"],
    ["waters without charge alone", () => series({ name: "a", concentrations: {} }), "no-balances"],
  ])("are refused with advice: %s", (_name, run, code) => {
    expect(run).toThrow(expect.objectContaining({ name: "IonbookError", code }));
  });
});
