import { describe, expect, it } from "vitest";
import { DRAWING_TOOLS, drawTrace } from "../../toolkit/show/trace/draw-trace.js";
import type { DrawnPeak, DrawnTrace } from "../../toolkit/show/trace/drawn-trace.js";
import { tracePicture } from "../../toolkit/show/trace/trace-figure.js";
import { axisTicks } from "../../toolkit/show/trace/trace-paths.js";

interface Needle {
  readonly label: string;
  readonly time: number;
  readonly height: number;
}

/** A record of 20 min with bells of 0.1 min on a line at `level` that rises by `rise`. */
function record(needles: readonly Needle[], level = 1, rise = 0, points = 8000): DrawnTrace {
  const time = Float64Array.from({ length: points }, (_, index) => (index * 20) / points);
  const line = time.map((t) => level + (rise * t) / 20);
  const signal = time.map((t, index) => {
    return needles.reduce(
      (sum, peak) => sum + peak.height * Math.exp(-0.5 * ((t - peak.time) / 0.1) ** 2),
      line[index],
    );
  });
  const peaks = needles.map(({ label, time: apex, height }): DrawnPeak => {
    const look = { color: "blue", named: true, system: false, fitted: false, about: label };
    return { label, time: apex, start: apex - 0.5, end: apex + 0.5, height, ...look };
  });
  const baseline = line.map((value, index) => (time[index] < 2 ? Number.NaN : value));
  return { axis: "conductivity / (µS/cm)", time, signal, baseline, noise: 1e-4, peaks, components: [] };
}

const whole = { x: [0, 20] as const };

/** Heights (px below the panel's top) that the line of panel `index` runs through. */
function lineHeights(svg: string, index: number): number[] {
  const d = [...svg.matchAll(/class="ib-line" d="M(-?\d+) (-?\d+)l([^"]*)"/g)][index];
  const steps = d[3].match(/-?\d+/g)?.map(Number) ?? [];
  let y = Number(d[2]);
  const heights = [y / 10];
  for (let at = 1; at < steps.length; at += 2) {
    y += steps[at];
    heights.push(y / 10);
  }
  return heights;
}

describe("a drawn trace", () => {
  it("stands magnified below itself where a peak is dwarfed, the factor written and true", () => {
    const trace = record([
      { label: "chloride", time: 5, height: 100 },
      { label: "bromide", time: 12, height: 0.5 },
    ]);
    const { svg, panels } = drawTrace(trace, whole, 900, DRAWING_TOOLS);
    expect(panels).toHaveLength(2);
    const [upper, lower] = panels.map((panel) => panel.y[1] - panel.y[0]);
    const written = Number(/the same, magnified ([\d.]+) times/.exec(svg)?.[1]);
    expect(written).toBeGreaterThanOrEqual(10);
    expect(upper / lower).toBeCloseTo(written, 6);
    // The dwarfed peak fills at least a tenth of the magnified panel.
    expect(0.5 / lower).toBeGreaterThan(0.1);
  });

  it("has no second panel where all peaks can be seen in the first", () => {
    const trace = record([
      { label: "chloride", time: 5, height: 10 },
      { label: "bromide", time: 12, height: 4 },
    ]);
    expect(drawTrace(trace, whole, 900, DRAWING_TOOLS).panels).toHaveLength(1);
  });

  it("subtracts the baseline for the magnification, and says so, where it drifts more than the small peaks rise", () => {
    const needles = [
      { label: "chloride", time: 5, height: 100 },
      { label: "bromide", time: 12, height: 0.1 },
    ];
    const { svg, panels } = drawTrace(record(needles, 1, 2), whole, 900, DRAWING_TOOLS);
    expect(svg).toContain("the same above its baseline, magnified");
    expect(panels[1].flat).toBe(true);
    expect(0.1 / (panels[1].y[1] - panels[1].y[0])).toBeGreaterThan(0.1);
  });

  it("loses neither a spike of a single point nor the foot of a dip to the pixels", () => {
    const trace = record([{ label: "sulfate", time: 9, height: 10 }]);
    trace.signal[6001] = 9;
    trace.signal[6500] = 0.5;
    const { svg, panels } = drawTrace(trace, whole, 900, DRAWING_TOOLS);
    const [panel] = panels;
    const pixel = (value: number): number =>
      panel.height * (1 - (value - panel.y[0]) / (panel.y[1] - panel.y[0]));
    const heights = lineHeights(svg, 0);
    const spike = heights.filter((y) => Math.abs(y - pixel(9)) < 0.2);
    expect(spike.length).toBeGreaterThanOrEqual(1);
    expect(Math.max(...heights)).toBeCloseTo(pixel(0.5), 0);
  });

  it("has at most three grid lines a panel, ticks with real minus signs, quantity and unit on both axes", () => {
    const trace = record([{ label: "system dip", time: 9, height: -3 }], 0);
    const { svg } = drawTrace(trace, whole, 900, DRAWING_TOOLS);
    expect(svg.match(/class="ib-grid"/g)?.length).toBeLessThanOrEqual(3);
    expect(svg).toContain(">\u22122<");
    expect(svg).toContain("conductivity / (µS/cm)");
    expect(svg).toContain("time / min");
  });

  it("names a peak only while its apex is in view", () => {
    const trace = record([
      { label: "chloride", time: 5, height: 10 },
      { label: "nitrate", time: 12, height: 8 },
    ]);
    const { svg } = drawTrace(trace, { x: [10, 14] }, 900, DRAWING_TOOLS);
    expect(svg).toContain(">nitrate<");
    expect(svg).not.toContain(">chloride<");
  });

  it("keeps markup in names out of the picture", () => {
    const trace = record([{ label: '<script>alert("1")</script>', time: 5, height: 10 }]);
    expect(tracePicture(trace)).not.toContain("<script");
    expect(tracePicture(trace)).toContain("&#60;script&#62;");
  });

  it("draws an empty, a flat and a nearly empty record without a number that is none", () => {
    const flat = record([]);
    const short = {
      ...flat,
      time: flat.time.slice(0, 2),
      signal: flat.signal.slice(0, 2),
      baseline: flat.baseline.slice(0, 2),
    };
    for (const trace of [flat, short]) {
      const end = trace.time[trace.time.length - 1];
      const { svg } = drawTrace(trace, { x: [trace.time[0], end] }, 900, DRAWING_TOOLS);
      expect(svg).not.toMatch(/NaN|Infinity|undefined/);
    }
  });
});

describe("round numbers on an axis", () => {
  it("lie inside the range, are at most as many as asked for, and are steps of 1, 2 or 5", () => {
    for (const [low, high, most] of [
      [0, 18, 4],
      [-0.013, 0.2, 3],
      [6.79, 9, 12],
      [0.43, 0.48, 3],
      [-3, 160, 3],
    ]) {
      const { at, decimals } = axisTicks(low, high, most);
      expect(at.length).toBeGreaterThan(0);
      expect(at.length).toBeLessThanOrEqual(most);
      for (const tick of at) {
        expect(tick).toBeGreaterThanOrEqual(low);
        expect(tick).toBeLessThanOrEqual(high + 1e-9);
        expect(Number(tick.toFixed(decimals))).toBeCloseTo(tick, 9);
      }
      if (at.length > 1) expect([1, 2, 5]).toContain(Math.round(Number((at[1] - at[0]).toExponential()[0])));
    }
  });
});
