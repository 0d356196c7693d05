import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { convert } from "../../../toolkit/ions/units.js";
import { createRandom } from "../../../toolkit/numeric/random.js";
import { covariance, isMeasuredValue, measured, times } from "../../../toolkit/uncertainty/measured.js";
import { clippedTo, coverageEllipse } from "../../../toolkit/water/diagrams/coverage-ellipse.js";
import type { NamedWater } from "../../../toolkit/water/diagrams/named-water.js";
import {
  anionPoint,
  cationPoint,
  diamondPoint,
  FIELDS,
  type PlanePoint,
} from "../../../toolkit/water/diagrams/piper-coordinates.js";
import { piperDiagram } from "../../../toolkit/water/diagrams/piper-diagram.js";
import type { PiperPlace } from "../../../toolkit/water/diagrams/piper-place.js";
import { openPublishedWaters } from "../../../toolkit/water/published/published-waters.js";
import { wrongly } from "../wrongly.js";
import { EXAMPLE, uncertain } from "./waters.js";

const at = (place: PiperPlace | undefined): PlanePoint => ({
  x: place?.x.value ?? Number.NaN,
  y: place?.y.value ?? Number.NaN,
});
const only = (water: NamedWater) => piperDiagram(water).points[0];

/** A water of one salt: its charge is one cation's and one anion's. */
function pure(cation: string, anion: string): NamedWater {
  const ions = ["calcium", "magnesium", "sodium", "hydrogencarbonate", "sulfate", "chloride"];
  const amount = (ion: string) => (ion === cation || ion === anion ? convert(1, "meq/L", "mg/L", ion) : 0);
  return {
    name: `${cation} ${anion}`,
    concentrations: Object.fromEntries(ions.map((ion) => [ion, amount(ion)])),
  };
}

describe("places in a Piper diagram", () => {
  it("are those of the handbook's worked example", () => {
    // Source: handbook of the project, balances, paragraph 8: (31.1, 18.7), (150.6, 14.5), (89.6, 120.1).
    const { cations, anions, diamond, type } = only(EXAMPLE);
    expect(at(cations).x).toBeCloseTo(31.1, 1);
    expect(at(cations).y).toBeCloseTo(18.7, 1);
    expect(at(anions).x).toBeCloseTo(150.6, 1);
    expect(at(anions).y).toBeCloseTo(14.5, 1);
    expect(at(diamond).x).toBeCloseTo(89.6, 1);
    expect(at(diamond).y).toBeCloseTo(120.1, 1);
    expect(type).toBe("calcium–hydrogencarbonate");
  });

  it("follow from its rounded percentages as well", () => {
    const cations = cationPoint({ sodiumPotassium: 20.3, magnesium: 21.6 });
    const anions = anionPoint({ chloride: 22.2, sulfate: 16.7 });
    expect([cations.x, cations.y, anions.x, anions.y].map((value) => value.toFixed(1))).toEqual([
      "31.1",
      "18.7",
      "150.6",
      "14.5",
    ]);
    const { x, y } = diamondPoint(cations, anions);
    expect(Math.abs(x - 89.6)).toBeLessThan(0.1);
    expect(Math.abs(y - 120.1)).toBeLessThan(0.1);
  });

  it("of waters of one salt are the corners of the three fields", () => {
    const [cations, anions, diamond] = [FIELDS.cations, FIELDS.anions, FIELDS.diamond];
    const cases: readonly (readonly [string, string, number, number, number | undefined])[] = [
      ["calcium", "hydrogencarbonate", 0, 0, 3],
      ["sodium", "chloride", 1, 1, 1],
      ["sodium", "hydrogencarbonate", 1, 0, 0],
      ["calcium", "chloride", 0, 1, 2],
      ["magnesium", "sulfate", 2, 2, 2],
    ];
    for (const [cation, anion, left, right, corner] of cases) {
      const point = only(pure(cation, anion));
      for (const axis of ["x", "y"] as const) {
        expect(at(point.cations)[axis]).toBeCloseTo(cations[left][axis], 9);
        expect(at(point.anions)[axis]).toBeCloseTo(anions[right][axis], 9);
        if (corner !== undefined) expect(at(point.diamond)[axis]).toBeCloseTo(diamond[corner][axis], 9);
      }
    }
  });

  it("lie in their fields, and a mixture on the line between what is mixed, for any waters", () => {
    const charge = fc.double({ min: 0.01, max: 50, noNaN: true });
    const charges = fc.tuple(charge, charge, charge, charge, charge, charge);
    const names = ["calcium", "magnesium", "sodium", "hydrogencarbonate", "sulfate", "chloride"];
    const water = (values: readonly number[]): NamedWater => ({
      name: "water",
      concentrations: Object.fromEntries(
        names.map((ion, i) => [ion, convert(values[i], "meq/L", "mg/L", ion)]),
      ),
    });
    fc.assert(
      fc.property(charges, charges, fc.double({ min: 0.05, max: 0.95, noNaN: true }), (a, b, part) => {
        const mixture = a.map((value, i) => part * value + (1 - part) * b[i]);
        const [pa, pb, pm] = [a, b, mixture].map((values) => only(water(values)));
        for (const field of ["cations", "anions"] as const) {
          const [from, to, mixed] = [at(pa[field]), at(pb[field]), at(pm[field])];
          const cross = (to.x - from.x) * (mixed.y - from.y) - (to.y - from.y) * (mixed.x - from.x);
          expect(Math.abs(cross)).toBeLessThan(1e-6);
        }
        for (const field of ["cations", "anions", "diamond"] as const)
          expect(inside(FIELDS[field], at(pm[field]))).toBe(true);
        // Both lines from the triangles go up at 60 degrees and meet in the diamond.
        const [c, n, d] = [at(pm.cations), at(pm.anions), at(pm.diamond)];
        expect(d.y - c.y).toBeCloseTo(Math.sqrt(3) * (d.x - c.x), 7);
        expect(d.y - n.y).toBeCloseTo(-Math.sqrt(3) * (d.x - n.x), 7);
      }),
      { numRuns: 40, seed: 1 },
    );
  });

  it("do not move when the water is diluted", () => {
    const diluted = Object.fromEntries(
      Object.entries(EXAMPLE.concentrations).map(([ion, value]) => [ion, (value as number) / 7]),
    );
    const [whole, thin] = piperDiagram([
      { ...EXAMPLE, pH: undefined },
      { ...EXAMPLE, name: "thin", pH: undefined, concentrations: diluted, alkalinity: (3.2 * 50.043) / 7 },
    ]).points;
    expect(at(thin.diamond).x).toBeCloseTo(at(whole.diamond).x, 1);
    expect(at(thin.diamond).y).toBeCloseTo(at(whole.diamond).y, 1);
  });
});

describe("what is only bounded in a Piper diagram", () => {
  const lowSulfate = (sulfate: { below: number } | number): NamedWater => ({
    ...EXAMPLE,
    name: "bounded",
    concentrations: { ...EXAMPLE.concentrations, sulfate },
  });

  it("stands at its bound, open, and points to where it would be without it", () => {
    const bounded = only(lowSulfate({ below: 42 }));
    const measuredOne = only(EXAMPLE);
    const without = only(lowSulfate(0));
    expect(at(bounded.anions)).toEqual(at(measuredOne.anions));
    expect(bounded.anions?.open).toBe(true);
    // The arrow leaves the ion out; without it the ionic strength is lower too, which moves the place by some 10⁻⁶.
    expect(bounded.anions?.toward?.x).toBeCloseTo(at(without.anions).x, 4);
    expect(bounded.anions?.toward?.y).toBeCloseTo(at(without.anions).y, 4);
    expect(bounded.diamond?.open).toBe(true);
    expect(bounded.cations?.open).toBe(false);
    expect(bounded.bounds).toEqual(["sulfate"]);
  });

  it("stays a filled symbol where nobody could see the difference, and is told", () => {
    const diagram = piperDiagram(lowSulfate({ below: 0.1 }));
    expect(diagram.points[0].anions?.open).toBe(false);
    expect(diagram.notes.join(" ")).toContain("too little to be seen: sulfate in bounded");
  });
});

describe("what was not measured", () => {
  const without = (ion: string): NamedWater => {
    const { [ion]: _, ...concentrations } = EXAMPLE.concentrations;
    return { ...EXAMPLE, name: `no ${ion}`, concentrations };
  };

  it("is never zero: a triangle without one of its main ions holds no such water", () => {
    const { points, notes } = piperDiagram([EXAMPLE, without("sulfate"), without("sodium")]);
    expect(points[1].anions).toBeUndefined();
    expect(points[1].diamond).toBeUndefined();
    expect(points[1].cations).toBeDefined();
    expect(points[2].cations).toBeUndefined();
    expect(points[2].anions).toBeDefined();
    expect(notes.join(" ")).toContain("Sulfate was not measured in no sulfate");
    expect(notes.join(" ")).toContain("Sodium was not measured in no sodium");
  });

  it("marks a group as incomplete where a lesser ion is missing", () => {
    const { points, notes } = piperDiagram(without("potassium"));
    expect(points[0].cations).toBeDefined();
    expect(points[0].absent).toContain("potassium");
    expect(notes.join(" ")).toContain("Potassium was not measured");
  });

  it("is refused where nothing is left to draw", () => {
    expect(() => piperDiagram({ name: "poor", concentrations: { chloride: 3 } })).toThrow(
      /"poor" lacks .*sodium/,
    );
  });

  it("can be hydrogencarbonate from the balance, from air, or none below pH 4.5, each told", () => {
    const { alkalinity: _, ...open } = EXAMPLE;
    expect(only(open).anions).toBeUndefined();
    const difference = piperDiagram(open, { hydrogencarbonate: "by difference" });
    // Source: handbook, balances, paragraph 2: cations 5.3285, Cl .8744, NO3 .2903, SO4 .8745 leave 3.2893 meq/L.
    const rest = 5.3285 - 0.8744 - 0.2903 - 0.8745;
    const share = difference.points[0].anionPercent?.hydrogencarbonate.value;
    expect(share).toBeCloseTo((100 * rest) / 5.3285, 1);
    expect(difference.notes.join(" ")).toContain("no balance tests these waters");
    const rain = { ...open, pH: 5.6 };
    expect(piperDiagram(rain, { hydrogencarbonate: "from air" }).points[0].anions).toBeDefined();
    expect(only({ ...open, pH: 4.2 }).anionPercent?.hydrogencarbonate.value).toBe(0);
  });
});

describe("uncertainty in a Piper diagram", () => {
  it("keeps what the ions of a water share: a common factor moves no place", () => {
    const factor = measured(1, "1", { u: 0.1 }, { source: "dilution" });
    const scaled = Object.fromEntries(
      Object.entries(EXAMPLE.concentrations).map(([ion, value]) => [
        ion,
        times(measured(value as number, "mg/L", { u: 0 }), factor),
      ]),
    );
    const { cations } = only({ ...EXAMPLE, pH: undefined, concentrations: scaled });
    expect(cations?.x.u).toBeLessThan(1e-6);
    expect(cations?.y.u).toBeLessThan(1e-6);
  });

  it("agrees with drawing the concentrations at random", () => {
    const random = createRandom(1);
    const { cations } = only(uncertain(EXAMPLE, 0.03));
    const charges = { Ca: 3.0938, Mg: 1.1521, Na: 1.00044, K: 0.07929 };
    const drawn = Array.from({ length: 20_000 }, () => {
      const [ca, mg, na, k] = Object.values(charges).map((value) => value * (1 + 0.03 * random.normal()));
      const sum = ca + mg + na + k;
      return { x: (100 * (na + k + mg / 2)) / sum, y: (50 * Math.sqrt(3) * mg) / sum };
    });
    const mean = (of: (point: PlanePoint) => number) =>
      drawn.reduce((total, point) => total + of(point), 0) / drawn.length;
    const [mx, my] = [mean(({ x }) => x), mean(({ y }) => y)];
    const sx = Math.sqrt(mean(({ x }) => (x - mx) ** 2));
    const sy = Math.sqrt(mean(({ y }) => (y - my) ** 2));
    const sxy = mean(({ x, y }) => (x - mx) * (y - my));
    if (cations === undefined) throw new Error("no place");
    expect(cations.x.u / sx).toBeCloseTo(1, 1);
    expect(cations.y.u / sy).toBeCloseTo(1, 1);
    expect(covariance(cations.x, cations.y) / (sx * sy)).toBeCloseTo(sxy / (sx * sy), 1);
    // 95 % of what is drawn falls into the ellipse.
    const hits = drawn.filter((point) => inside(cations.ellipse, point)).length / drawn.length;
    expect(hits).toBeGreaterThan(0.94);
    expect(hits).toBeLessThan(0.96);
  });

  it("gives ellipses of the joint coverage: χ² of two degrees of freedom for known uncertainties", () => {
    // Source: quantile of χ² at 0.95 and two degrees of freedom, −2·ln 0.05 = 5.991.
    const ring = coverageEllipse(measured(10, "1", { u: 2 }), measured(5, "1", { u: 1 }), 0.95);
    const far = Math.max(...ring.map(({ x }) => x - 10));
    expect(far).toBeCloseTo(2 * Math.sqrt(-2 * Math.log(0.05)), 6);
  });

  it("clips ellipses to their field", () => {
    const wide = piperDiagram(uncertain(pureSodium(), 0.3));
    const ring = wide.points[0].cations?.ellipse ?? [];
    expect(ring.length).toBeGreaterThan(2);
    for (const corner of ring) expect(inside(FIELDS.cations, corner, 1e-6)).toBe(true);
    expect(clippedTo(FIELDS.anions, ring)).toEqual([]);
  });
});

describe("published waters in a Piper diagram", () => {
  it("stand where their published percentages put them", async () => {
    const published = await openPublishedWaters("datasets/river-analyses");
    const { points, notes } = piperDiagram(published);
    expect(points).toHaveLength(22);
    // Source: dataset river-analyses, U.S. Geological Survey: meq/L as printed.
    for (const [i, { cells }] of published.waters.entries()) {
      const [ca, mg, na, k] = ["Ca", "Mg", "Na", "K"].map((name) => Number(cells[name]));
      const sum = ca + mg + na + k;
      expect(points[i].cations?.x.value).toBeCloseTo((100 * (na + k + mg / 2)) / sum, 6);
      expect(points[i].cations?.y.value).toBeCloseTo((50 * Math.sqrt(3) * mg) / sum, 6);
    }
    // The first of them has no alkalinity, its publisher's balance is off by 87 %: it has no place among the anions.
    expect(points.filter(({ anions }) => anions === undefined)).toHaveLength(1);
    expect(points[0].anions).toBeUndefined();
    expect(notes[0]).toMatch(/^Hydrogencarbonate was not measured in /);
  });

  it("keep ions below a limit at their limit, and group by a column of the table", async () => {
    const diagram = piperDiagram(await openPublishedWaters("datasets/menominee-river"), {
      groupBy: "season",
    });
    expect(diagram.points).toHaveLength(37);
    expect([...diagram.groups].sort()).toEqual(["summer", "winter"]);
    expect(diagram.notes.join(" ")).toContain("fluoride in");
  });
});

describe("a call of piperDiagram", () => {
  const wrong = wrongly(piperDiagram);

  it.each([
    ["nothing", () => wrong(), "no-waters"],
    ["an empty list", () => wrong([]), "no-waters"],
    ["a promise", () => wrong(Promise.resolve([])), "no-waters"],
    ["a water without a name", () => wrong([{ concentrations: { chloride: 1 } }]), "bad-water"],
    ["a water without concentrations", () => wrong([{ name: "a" }]), "bad-water"],
    ["two waters of one name", () => wrong([EXAMPLE, EXAMPLE]), "duplicate-name"],
    ["an unknown ion", () => wrong({ name: "a", concentrations: { chlorid: 1 } }), "unknown-ion"],
    ["a text for a number", () => wrong({ name: "a", concentrations: { chloride: "1" } }), "not-a-number"],
    [
      "a bound without a number",
      () => wrong({ name: "a", concentrations: { chloride: { below: "x" } } }),
      "not-a-number",
    ],
    ["a misspelt option", () => wrong(EXAMPLE, { groupby: "site" }), "unknown-option"],
    ["a field that no water has", () => wrong(EXAMPLE, { groupBy: "site" }), "unknown-field"],
    ["a level of 95", () => wrong(EXAMPLE, { level: 95 }), "bad-option"],
    ["a misspelt way", () => wrong(EXAMPLE, { hydrogencarbonate: "difference" }), "bad-option"],
  ])("is refused with advice: %s", (_, run, code) => {
    expect(run).toThrow(expect.objectContaining({ name: "IonbookError", code }));
  });

  it("names the water that is at fault", () => {
    expect(() => piperDiagram([EXAMPLE, { name: "odd", concentrations: { chloride: -1 } }])).toThrow(/"odd"/);
  });

  it("gives places that are measured values and a text that names every water", () => {
    const diagram = piperDiagram([EXAMPLE, { ...EXAMPLE, name: "second", group: "b" }]);
    expect(isMeasuredValue(diagram.points[0].cations?.x)).toBe(true);
    expect(String(diagram)).toContain("second [b]: calcium–hydrogencarbonate");
    expect(diagram.kind).toBe("piper-diagram");
  });
});

function pureSodium(): NamedWater {
  return {
    name: "brine",
    concentrations: { calcium: 4, magnesium: 2, sodium: 400, potassium: 1, chloride: 620, sulfate: 3 },
    alkalinity: 20,
  };
}

function inside(field: readonly PlanePoint[], point: PlanePoint, slack = 1e-9): boolean {
  return field.every((from, i) => {
    const to = field[(i + 1) % field.length];
    return (to.x - from.x) * (point.y - from.y) - (to.y - from.y) * (point.x - from.x) >= -slack * 100;
  });
}
