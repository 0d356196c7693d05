import { describe, expect, it } from "vitest";
import { schoellerDiagram } from "../../../toolkit/water/diagrams/schoeller-diagram.js";
import { stiffDiagram } from "../../../toolkit/water/diagrams/stiff-diagram.js";
import { wrongly } from "../wrongly.js";
import { EXAMPLE } from "./waters.js";

const bounded = {
  ...EXAMPLE,
  name: "bounded",
  concentrations: { ...EXAMPLE.concentrations, sulfate: { below: 42 }, potassium: { below: 0.01 } },
};
const { sulfate: _, ...noSulfate } = EXAMPLE.concentrations;
const lacking = { ...EXAMPLE, name: "lacking", concentrations: noSulfate };

describe("a Stiff polygon", () => {
  it("has the corners of the handbook's example water", () => {
    // Source: handbook of the project, balances, paragraphs 2 and 8: meq/L, rows 2, 1, 0; alkalinity less carbonate's other bases.
    const [{ vertices, outline, complete }] = stiffDiagram(EXAMPLE).polygons;
    expect(vertices.map(({ row, ions }) => `${row} ${ions}`)).toEqual([
      "2 sodium + potassium",
      "1 calcium",
      "0 magnesium",
      "0 sulfate",
      "1 hydrogencarbonate",
      "2 chloride",
    ]);
    const expected = [-(1.0004 + 0.0793), -3.094, -1.152, 0.8745, 3.2, 0.8744];
    for (const [i, { x }] of vertices.entries()) expect(Math.abs((x ?? 0) - expected[i])).toBeLessThan(0.001);
    expect(complete).toBe(true);
    expect(outline).toHaveLength(1);
    expect(outline[0]).toHaveLength(7);
    expect(outline[0][0]).toEqual(outline[0][6]);
  });

  it("is open at a bound, and has a gap where an ion was not measured", () => {
    const { polygons, notes } = stiffDiagram([bounded, lacking]);
    const open = polygons[0].vertices.filter((vertex) => vertex.open).map(({ ions }) => ions);
    expect(open).toEqual(["sulfate"]);
    expect(polygons[1].complete).toBe(false);
    expect(polygons[1].outline.flat()).toHaveLength(5);
    expect(polygons[1].outline.flat().some(({ x }) => x === 0)).toBe(false);
    expect(notes.join(" ")).toContain("sulfate in bounded");
    expect(notes.join(" ")).toContain("a gap in the outline, not zero");
  });

  it("has a scale of its own where waters differ more than tenfold, unless asked otherwise", () => {
    const brine = { name: "brine", concentrations: { sodium: 5000, chloride: 8000 } };
    expect(stiffDiagram([EXAMPLE, brine]).ownScales).toBe(true);
    expect(stiffDiagram([EXAMPLE, brine], { scale: "shared" }).ownScales).toBe(false);
    expect(stiffDiagram([EXAMPLE, lacking]).ownScales).toBe(false);
  });
});

describe("a Schoeller line", () => {
  it("takes the logarithm of the charge in the order of the handbook", () => {
    // Source: handbook of the project, balances, paragraphs 2 and 8.
    const { lines, ions } = schoellerDiagram(EXAMPLE);
    expect(ions).toEqual([
      "calcium",
      "magnesium",
      "sodium + potassium",
      "chloride",
      "sulfate",
      "hydrogencarbonate",
    ]);
    const expected = [3.094, 1.152, 1.0797, 0.8744, 0.8745, 3.2].map(Math.log10);
    for (const [i, { logarithm }] of lines[0].points.entries())
      expect(Math.abs((logarithm ?? 0) - expected[i])).toBeLessThan(0.0005);
  });

  it("of a dilution runs parallel", () => {
    const concentrations = Object.fromEntries(
      Object.entries(EXAMPLE.concentrations).map(([ion, value]) => [ion, (value as number) / 5]),
    );
    const thin = { name: "thin", concentrations, alkalinity: (EXAMPLE.alkalinity as number) / 5 };
    const { lines } = schoellerDiagram([{ ...EXAMPLE, pH: undefined }, thin]);
    for (const [i, { logarithm }] of lines[0].points.entries())
      expect((logarithm ?? 0) - (lines[1].points[i].logarithm ?? 0)).toBeCloseTo(Math.log10(5), 4);
  });

  it("is open at a bound, has a gap where an ion was not measured, and says where there is none at all", () => {
    const none = { ...EXAMPLE, name: "none", concentrations: { ...EXAMPLE.concentrations, sulfate: 0 } };
    const { lines, notes } = schoellerDiagram([bounded, lacking, none]);
    expect(lines[0].points.map(({ open }) => open)).toEqual([false, false, false, false, true, false]);
    expect(lines[1].points[4].logarithm).toBeUndefined();
    expect(lines[1].points[4].milliequivalents).toBeUndefined();
    expect(lines[2].points[4].logarithm).toBeUndefined();
    expect(lines[2].points[4].milliequivalents?.value).toBe(0);
    expect(notes.join(" ")).toContain("Sulfate was not measured in lacking: a gap in the line");
    expect(notes.join(" ")).toContain("No sulfate at all in none");
  });
});

describe("calls of both diagrams", () => {
  const [stiff, schoeller] = [wrongly(stiffDiagram), wrongly(schoellerDiagram)];

  it.each([
    ["stiffDiagram of nothing", () => stiff(), "no-waters"],
    ["a misspelt option", () => stiff(EXAMPLE, { scal: "own" }), "unknown-option"],
    ["an unknown scale", () => stiff(EXAMPLE, { scale: "log" }), "bad-option"],
    ["no ion of the diagram", () => stiff({ name: "a", concentrations: { bromide: 1 } }), "nothing-to-draw"],
    ["schoellerDiagram of nothing", () => schoeller(), "no-waters"],
    ["an unknown option", () => schoeller(EXAMPLE, { level: 1 }), "unknown-option"],
    ["nothing but zeros", () => schoeller({ name: "a", concentrations: { chloride: 0 } }), "nothing-to-draw"],
  ])("are refused with advice: %s", (_name, run, code) => {
    expect(run).toThrow(expect.objectContaining({ name: "IonbookError", code }));
  });
});
