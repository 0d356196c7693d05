// Views of results of several rooms. The numbers are invented for these tests: words and pictures, not chemistry, are at stake.
import { describe, expect, it } from "vitest";
import { slopeAgainstTheory } from "../../toolkit/calibration/theory/slope-check.js";
import { decide } from "../../toolkit/compare/decision.js";
import { ion } from "../../toolkit/ions/ion-table.js";
import { fitRetention } from "../../toolkit/separation/fit-retention.js";
import { holdUpTime } from "../../toolkit/separation/hold-up-time.js";
import { predictRetention } from "../../toolkit/separation/retention.js";
import { retentionChart } from "../../toolkit/show/chart/retention-chart.js";
import { decisionView } from "../../toolkit/show/view/decision-view.js";
import { holdUpTimeView } from "../../toolkit/show/view/hold-up-time-view.js";
import { slopeCheckView } from "../../toolkit/show/view/slope-check-view.js";
import { measured } from "../../toolkit/uncertainty/measured.js";

/** Text of a piece of markup without its style, its pictures and its tags. */
const words = (html: unknown): string =>
  String(html)
    .replace(/<(style|svg).*?<\/\1>/gs, "")
    .replace(/<[^>]*>/g, " ");

describe("a shown slope check", () => {
  it("says how many slopes agree, each with u and z, and names the slip where one does not", async () => {
    const proton = ion("hydrogen").limitingMolarConductivity ?? Number.NaN;
    // Nitrate entered as nitrogen: 62.005/14.007 times too little mass, so the slope comes out so much too steep.
    const factors = { chloride: 1, sulfate: 1, bromide: 1, nitrate: 62.005 / 14.007 };
    const points = Object.entries(factors).map(([name, factor]) => {
      const { limitingMolarConductivity = Number.NaN, charge, molarMass } = ion(name);
      const area = (factor * (limitingMolarConductivity + Math.abs(charge) * proton) * 5) / molarMass / 1000;
      return { ion: name, area, concentration: 5 };
    });
    const text = words((await slopeCheckView(slopeAgainstTheory(points)))["text/html"]);
    expect(text).toContain("1 slope of 4 disagrees with theory: nitrate.");
    expect(text).toMatch(/nitrate\s+\+342\.7/);
    expect(text).toContain("Entered as N");
  });
});

describe("a shown hold-up time", () => {
  it("lists the ways in the order of trust and says where one contradicts", async () => {
    const found = holdUpTime({ unretained: 1.43, geometry: { length: 250, diameter: 4, flow: 1 } });
    const text = words((await holdUpTimeView(found))["text/html"]);
    expect(text).toMatch(/unretained ion.*taken.*geometry\s.*2 /s);
    expect(text).toContain("By geometry it would be 2.04");
  });
});

describe("a shown decision", () => {
  it.each([
    [30, "more than 99.9"],
    [70, "less than 0.1"],
  ])("%s mg/L against 50 mg/L: never a probability of 100 or 0 %%", async (value, said) => {
    const decision = decide(measured(value, "mg/L", { u: 1 }), { upper: 50, unit: "mg/L" }, "guarded");
    const text = words((await decisionView(decision))["text/html"]);
    expect(text).toContain(said);
    expect(text).toContain("Allowed: at most 50");
    expect(text).toContain("no verdict on safety");
  });
});

describe("a drawn retention fit", () => {
  it("has the isocratic readings on its lines, a ramp in the residuals alone", () => {
    const models = { chloride: { a: 2, b: 1 }, sulfate: { a: 3.7, b: 2 } };
    const times = { holdUpTime: 1.4, dwellTime: 0.3 };
    const programs = [
      [[0, 10]],
      [[0, 30]],
      [
        [0, 5],
        [20, 50],
      ],
    ] as unknown as [number, number][][];
    const runs = programs.map((program) => ({
      program,
      retentionTimes: Object.fromEntries(
        Object.entries(models).map(([name, model]) => [
          name,
          predictRetention(model, program, times).retentionTime,
        ]),
      ),
    }));
    const chart = retentionChart(fitRetention(runs, { times })) as unknown as {
      vconcat: { layer: { mark: { type: string }; data: { values: { x: number; y: number }[] } }[] }[];
    };
    const readings = (panel: number) =>
      chart.vconcat[panel].layer
        .filter(({ mark }) => mark.type === "point")
        .flatMap(({ data }) => data.values);
    expect(readings(0).map(({ x }) => x)).toEqual([10, 30, 10, 30]);
    // k = 10^a·c^−b by hand: 100/10, 100/30, 10^3.7/100, 10^3.7/900.
    const byHand = [10, 10 / 3, 50.1187, 5.56875];
    for (const [i, { y }] of readings(0).entries()) expect(y).toBeCloseTo(byHand[i], 2);
    expect(readings(1).length).toBe(6);
  });
});
