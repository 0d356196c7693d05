import { describe, expect, it } from "vitest";
import type { DisplayBundle } from "../../toolkit/display.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { balanceBarsChart } from "../../toolkit/show/chart/balance-bars-chart.js";
import { balanceSeriesChart } from "../../toolkit/show/chart/balance-series-chart.js";
import { namesAround } from "../../toolkit/show/chart/names-around.js";
import { piperChart } from "../../toolkit/show/chart/piper-chart.js";
import { renderSvg } from "../../toolkit/show/chart/render-svg.js";
import { schoellerChart } from "../../toolkit/show/chart/schoeller-chart.js";
import { INK } from "../../toolkit/show/chart/spec.js";
import { spreadLabels } from "../../toolkit/show/chart/spread-labels.js";
import { stiffChart } from "../../toolkit/show/chart/stiff-chart.js";
import { groupSymbol } from "../../toolkit/show/color/group-symbols.js";
import { textWidth } from "../../toolkit/show/trace/label-places.js";
import { piperView } from "../../toolkit/show/view/piper-view.js";
import { balanceBars } from "../../toolkit/water/diagrams/balance-bars.js";
import { balanceSeries } from "../../toolkit/water/diagrams/balance-series.js";
import type { NamedWater } from "../../toolkit/water/diagrams/named-water.js";
import { piperDiagram } from "../../toolkit/water/diagrams/piper-diagram.js";
import { schoellerDiagram } from "../../toolkit/water/diagrams/schoeller-diagram.js";
import { stiffDiagram } from "../../toolkit/water/diagrams/stiff-diagram.js";

/** Invented waters, drawn at random. */
function waters(count: number, groups = 0): readonly NamedWater[] {
  const random = createRandom(1);
  const some = (most: number) => most * (0.05 + random.uniform());
  return Array.from({ length: count }, (_, i) => ({
    name: `water ${i + 1}`,
    concentrations: {
      calcium: some(90),
      magnesium: some(30),
      sodium: some(60),
      potassium: some(8),
      chloride: some(80),
      nitrate: some(20),
      sulfate: some(90),
    },
    alkalinity: some(250),
    pH: 7.4,
    ...(groups > 0 ? { group: `place ${(i % groups) + 1}` } : {}),
  }));
}
const bounded: NamedWater = {
  name: "<bounded>",
  concentrations: { calcium: 40, magnesium: 9, sodium: 12, chloride: 20, sulfate: { below: 40 } },
  alkalinity: 120,
};

function rowsOf(spec: unknown): Record<string, unknown>[] {
  const found: Record<string, unknown>[] = [];
  JSON.stringify(spec, (key, value) => {
    if (typeof value === "number" && !Number.isFinite(value)) throw new Error(`${key} is ${value}`);
    if (key === "values" && Array.isArray(value) && typeof value[0] === "object") found.push(...value);
    return value;
  });
  return found;
}

describe("charts of waters", () => {
  const makers = {
    piper: (list: readonly NamedWater[]) => piperChart(piperDiagram(list)),
    stiff: (list: readonly NamedWater[]) => stiffChart(stiffDiagram(list)),
    schoeller: (list: readonly NamedWater[]) => schoellerChart(schoellerDiagram(list)),
    bars: (list: readonly NamedWater[]) => balanceBarsChart(balanceBars(list)),
    series: (list: readonly NamedWater[]) => balanceSeriesChart(balanceSeries(list)),
  };

  it.each(Object.entries(makers))("draw one water and sixty, with groups or without: %s", async (_, make) => {
    for (const list of [waters(1), waters(5), waters(60)]) {
      const values = rowsOf(make(list)).flatMap((row) => Object.values(row));
      expect(values.length).toBeGreaterThan(30);
      expect(values.filter((value) => value === null || value === undefined)).toEqual([]);
    }
    const svg = await renderSvg(make(waters(60, 12)));
    expect(svg).not.toMatch(/NaN|undefined|Infinity/);
    expect(svg.length).toBeGreaterThan(2000);
  });

  it("stand in a frame of three fields, each water in each", () => {
    const points = rowsOf(piperChart(piperDiagram(waters(60)))).filter((row) => "shape" in row);
    expect(points).toHaveLength(180);
  });

  it("show a bound as an open symbol with an arrow, a value as a filled one", () => {
    const rows = rowsOf(piperChart(piperDiagram([bounded, ...waters(2)])));
    const symbols = rows.filter((row) => "shape" in row && "line" in row);
    const open = symbols.filter((row) => row.fill === INK.paper);
    expect(open.map(({ name }) => name)).toEqual(["<bounded>", "<bounded>"]);
    expect(symbols.filter((row) => row.fill !== INK.paper)).toHaveLength(7);
    const arrows = rows.filter((row) => "x2" in row && "color" in row);
    expect(arrows).toHaveLength(2 * 3);
  });

  it("keep a gap where an ion was not measured", () => {
    const { sulfate: _, ...rest } = bounded.concentrations;
    const rows = rowsOf(stiffChart(stiffDiagram({ ...bounded, name: "gap", concentrations: rest })));
    expect(rows.some(({ text }) => text === "not measured")).toBe(true);
    const runs = rows.filter((row) => "run" in row);
    expect(runs).toHaveLength(5);
    const line = rowsOf(schoellerChart(schoellerDiagram({ ...bounded, name: "gap", concentrations: rest })));
    expect(new Set(line.filter((row) => "run" in row).map(({ run }) => run)).size).toBe(2);
  });

  it("give the groups symbols that differ in colour and in shape", () => {
    const symbols = Array.from({ length: 8 }, (_, i) => groupSymbol(i));
    expect(new Set(symbols.map(({ color }) => color)).size).toBe(8);
    expect(new Set(symbols.map(({ shape }) => shape)).size).toBe(8);
    const pairs = Array.from({ length: 40 }, (_, i) => groupSymbol(i)).map(
      ({ color, shape }) => color + shape,
    );
    expect(new Set(pairs).size).toBe(40);
  });

  it("tell who does not see them what they hold, and escape names", async () => {
    const bundle: DisplayBundle = await piperView(piperDiagram([bounded, ...waters(3)]));
    const markup = String(bundle["text/html"]);
    expect(markup).toContain('role="img" aria-label="Piper diagram of 4 waters; type by charge:');
    expect(markup).toContain("Open symbols: below a limit and drawn at it, sulfate in &lt;bounded&gt;.");
    expect(markup).not.toContain("<bounded>");
    expect(String(bundle["text/plain"])).toContain("at a bound");
    expect(Object.keys(bundle)).toEqual(
      expect.arrayContaining(["image/svg+xml", "image/png", "application/vnd.vegalite.v5+json"]),
    );
  });
});

describe("names around points", () => {
  it("touch neither each other nor a symbol", () => {
    const random = createRandom(2);
    const dots = Array.from({ length: 40 }, (_, i) => ({
      name: `name ${i}`,
      x: 20 + 560 * random.uniform(),
      y: 20 + 360 * random.uniform(),
    }));
    const options = { fontSize: 10, radius: 4, width: 600, height: 400 };
    const places = namesAround(dots, options);
    expect(places.length).toBeGreaterThan(30);
    const boxes = places.map(({ name, x, y, align }) => {
      const long = textWidth(name, 10);
      const left = align === "left" ? x : align === "right" ? x - long : x - long / 2;
      return { left, right: left + long, top: y - 5, foot: y + 5 };
    });
    const symbols = dots.map(({ x, y }) => ({ left: x - 4, right: x + 4, top: y - 4, foot: y + 4 }));
    for (const [i, a] of boxes.entries())
      for (const b of [...boxes.slice(i + 1), ...symbols])
        expect(a.left < b.right && a.right > b.left && a.top < b.foot && a.foot > b.top).toBe(false);
  });

  it("below each other keep their distance and stay as near as they can", () => {
    expect(spreadLabels([10, 100], 13, 200)).toEqual([10, 100]);
    const places = spreadLabels([50, 52, 51, 0, 199], 13, 200);
    const sorted = [...places].sort((a, b) => a - b);
    for (let i = 1; i < sorted.length; i++)
      expect(sorted[i] - sorted[i - 1]).toBeGreaterThanOrEqual(13 - 1e-9);
    expect(places[0]).toBeLessThan(places[2]);
    expect(places[2]).toBeLessThan(places[1]);
    expect((places[0] + places[1] + places[2]) / 3).toBeCloseTo(51, 9);
  });
});
