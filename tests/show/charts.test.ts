import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { balanceChart, groupsByScale } from "../../toolkit/show/chart/balance-chart.js";
import { budgetChart } from "../../toolkit/show/chart/budget-chart.js";
import { calibrationChart, curveChart } from "../../toolkit/show/chart/calibration-chart.js";
import { publishedBalanceChart } from "../../toolkit/show/chart/published-balance-chart.js";
import { renderSvg, svgForPage } from "../../toolkit/show/chart/render-svg.js";
import { measured, times } from "../../toolkit/uncertainty/measured.js";
import { inventedResults } from "./invented-results.js";

const results = inventedResults({ points: 1500 });
const sulfate = results.calibrations.find((each) => each.ion === "sulfate");
if (sulfate === undefined) throw new Error("the invented results lost sulfate");

/** The data rows of every layer of a specification. */
function rowsOf(spec: unknown): Record<string, unknown>[] {
  const found: Record<string, unknown>[] = [];
  JSON.stringify(spec, (key, value) => {
    if (key === "values" && Array.isArray(value) && typeof value[0] === "object") found.push(...value);
    return value;
  });
  return found;
}

describe("a calibration chart", () => {
  const spec = calibrationChart(sulfate);

  it("draws every standard with its bar, and a rejected one as an open cross", async () => {
    const standards = rowsOf(spec).filter((row) => "used" in row && "low" in row);
    // Each standard stands twice: as a bar and as a point, in both panels.
    expect(standards).toHaveLength(4 * sulfate.points.length);
    for (const row of standards) expect(row.high as number).toBeGreaterThan(row.low as number);
    expect(standards.filter((row) => row.used === false)).toHaveLength(4);
    const svg = await renderSvg(spec);
    expect(svg).not.toMatch(/NaN|undefined/);
  });

  it("shows as band in percent what the curve's own 95 % interval is", () => {
    const band = rowsOf(spec).filter((row) => "percent" in row);
    const row = band.find((each) => (each.x as number) > 1) as { x: number; percent: number };
    const interval = sulfate.curve.concentration(sulfate.curve.respond(row.x), { u: 0 }).interval();
    expect(row.percent).toBeCloseTo((50 * (interval.high - interval.low)) / row.x, 6);
  });

  it("writes the names of the three limits", async () => {
    const svg = await renderSvg(spec);
    for (const name of ["critical", "LOD", "LOQ"]) expect(svg).toContain(`>${name}<`);
  });

  it("leaves a zero level off its logarithmic axis instead of failing", async () => {
    const points = [0, 1, 2, 5, 10].map((concentration) => ({
      concentration,
      response: 0.01 + 0.3 * concentration,
    }));
    const svg = await renderSvg(curveChart(calibrate(points)));
    expect(svg).not.toMatch(/NaN|Infinity/);
  });
});

describe("the balance chart", () => {
  const [balance] = results.balances;

  it("ends its pieces at the sums, and brackets each sum with its 95 % interval", () => {
    const rows = rowsOf(balanceChart([balance]));
    for (const side of ["cations", "anions"] as const) {
      const pieces = rows.filter(
        (row) => row.row === `0 ${side}` && "from" in row && row.name !== "unidentified",
      );
      const positive = balance.parts.filter(
        (part) => `${part.side}s` === side && part.milliequivalents.value > 0,
      );
      const sum = positive.reduce((total, part) => total + part.milliequivalents.value, 0);
      expect(Math.max(...pieces.map((piece) => piece.to as number))).toBeCloseTo(sum, 9);
      const bracket = rows.find((row) => row.row === `0 ${side}` && "behind" in row);
      const interval = balance[side].interval();
      expect(bracket?.low).toBeCloseTo(interval.low, 9);
      expect(bracket?.high).toBeCloseTo(interval.high, 9);
    }
  });

  it("begins at zero", () => {
    expect(JSON.stringify(balanceChart([balance]))).toContain('"domain":[0,');
  });

  it("draws unidentified anions and bounds as open pieces", () => {
    const withUnknown = results.balances.find((each) => each.unknownAnions !== undefined);
    if (withUnknown === undefined) throw new Error("the invented results lost their unknown anions");
    const open = rowsOf(balanceChart([withUnknown])).filter((row) => row.open === true);
    expect(open.map((row) => row.name)).toContain("unidentified");
  });

  it("never squeezes a dilute sample beside a salty one: scales within a group differ by less than ten", () => {
    const groups = groupsByScale(results.balances);
    expect(groups.flat()).toHaveLength(results.balances.length);
    for (const group of groups) {
      const sizes = group.map((each) => each.cations.value);
      expect(Math.max(...sizes) / Math.min(...sizes)).toBeLessThan(10);
    }
  });

  it("keeps markup in a sample's name out of the drawing", async () => {
    const hostile = { ...balance, sample: '<image href="https://example.org/x"/><script>1</script>' };
    const svg = svgForPage(await renderSvg(balanceChart([hostile])), "b", hostile.sample);
    expect(svg).not.toMatch(/<image|<script/);
    expect(svg).toContain("&lt;script");
  });
});

describe("charts on a page", () => {
  it("take the ink of the page and names of their own", async () => {
    const svg = svgForPage(await renderSvg(calibrationChart(sulfate)), "one", "Calibration");
    expect(svg).toContain('"var(--ink)"');
    expect(svg).not.toContain("#1b2430");
    for (const [, id] of svg.matchAll(/ id="([^"]+)"/g)) expect(id.startsWith("one-")).toBe(true);
    for (const [, id] of svg.matchAll(/url\(#([^)]+)\)/g)) expect(id.startsWith("one-")).toBe(true);
  });

  it("show the sources of an uncertainty, the largest on top", () => {
    const mass = measured(2, "mg", { u: 0.01 }, { source: "balance" });
    const factor = measured(3, "1", { u: 0.03 }, { source: "dilution" });
    const rows = rowsOf(budgetChart(times(mass, factor))).filter((row) => row.place === 0);
    expect(rows[0].source).toBe("dilution");
    // u² = (3·0.01)² + (2·0.03)² = 0.0045; the dilution's share is 0.0036/0.0045 = 80 %.
    expect(rows[0].share).toBeCloseTo(80, 6);
  });

  it("write a difference beyond the axis as a number with an arrow", async () => {
    const svg = await renderSvg(publishedBalanceChart([{ label: "a", published: 87.4, own: 87.4 }]));
    expect(svg).toContain("87.4 % →");
  });
});
