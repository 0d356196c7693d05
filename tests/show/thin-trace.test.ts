import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { DRAWING_TOOLS, drawTrace } from "../../toolkit/show/trace/draw-trace.js";
import type { DrawnTrace } from "../../toolkit/show/trace/drawn-trace.js";
import { packTrace, unpackTrace } from "../../toolkit/show/trace/pack-trace.js";
import { readRecord } from "../../toolkit/show/trace/read-record.js";
import { unpackSeries } from "../../toolkit/show/trace/series-code.js";
import { leftOver, stripRange } from "../../toolkit/show/trace/strip-paths.js";
import { thinTrace } from "../../toolkit/show/trace/thin-trace.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";

/** INVENTED: a bell of height 5 at 4 min on a level of 1 with noise 0.01, and a fitted component 2 % too low. */
function fittedTrace(points = 3000): DrawnTrace {
  const random = createRandom(1);
  const time = Float64Array.from({ length: points }, (_, index) => (10 * index) / points);
  const bell = time.map((t) => 5 * Math.exp(-0.5 * ((t - 4) / 0.1) ** 2));
  const signal = bell.map((height) => 1 + height + 0.01 * random.normal());
  const first = Math.round(0.3 * points);
  const values = bell.slice(first, Math.round(0.5 * points)).map((height) => 0.98 * height);
  const look = { label: "chloride", color: "blue", named: true, system: false, about: "chloride" };
  return {
    axis: "conductivity / (µS/cm)",
    time,
    signal,
    baseline: new Float64Array(points).fill(1),
    noise: 0.01,
    peaks: [{ ...look, time: 4, start: 3, end: 5, height: 5, fitted: true }],
    components: [{ color: "blue", first, values }],
    sum: true,
    strip: { title: "residual" },
  };
}

describe("a long record", () => {
  it("of two million points keeps its highest spike, its deepest dip and its ends on a few thousandths of them", () => {
    const n = 2_000_000;
    const trace: DrawnTrace = {
      axis: "signal",
      time: Float64Array.from({ length: n }, (_, index) => index / 600),
      signal: new Float64Array(n).fill(1),
      baseline: new Float64Array(n).fill(1),
      noise: 0.1,
      peaks: [],
      components: [{ color: "blue", first: 1_500_000, values: new Float64Array(100_000).fill(2) }],
    };
    trace.signal[1_234_567] = 9;
    trace.signal[1_654_321] = -3;
    const thin = thinTrace(trace, 8000);
    expect(thin.time.length).toBeLessThanOrEqual(8002);
    expect(thin.signal[thin.time.indexOf(1_234_567 / 600)]).toBe(9);
    expect(thin.signal[thin.time.indexOf(1_654_321 / 600)]).toBe(-3);
    expect([thin.time[0], thin.time[thin.time.length - 1]]).toEqual([0, (n - 1) / 600]);
    const [{ first, values }] = thin.components;
    expect(Math.abs(thin.time[first] - 1_500_000 / 600)).toBeLessThan(1.5);
    expect(Math.abs(thin.time[first + values.length - 1] - 1_599_999 / 600)).toBeLessThan(1.5);
    expect([...new Set(values)]).toEqual([2]);
  });

  it("that fits comes back as it is", () => {
    const trace = fittedTrace();
    expect(thinTrace(trace)).toBe(trace);
  });

  it("times of a thinned record rise, a gap of not-a-number does not spread", () => {
    const trace = fittedTrace(1000);
    trace.signal.fill(Number.NaN, 300, 320);
    const thin = thinTrace(trace, 200);
    expect(thin.time.every((t, index) => index === 0 || t > thin.time[index - 1])).toBe(true);
    expect(thin.signal.filter(Number.isNaN).length).toBeLessThan(10);
    expect(Math.max(...thin.signal.filter((value) => !Number.isNaN(value)))).toBe(
      Math.max(...trace.signal.filter((value) => !Number.isNaN(value))),
    );
  });
});

describe("the strip below a record", () => {
  it("holds what baseline and components leave over, with its title and its own axis", () => {
    const trace = fittedTrace();
    const at = trace.time.findIndex((t) => t >= 4);
    const rest = leftOver(trace);
    expect(rest[at]).toBeCloseTo(trace.signal[at] - 1 - 0.98 * 5, 2);
    const { svg } = drawTrace(trace, { x: [0, 10] }, 900, DRAWING_TOOLS);
    expect(svg).toContain(">residual<");
    expect(svg.match(/class="ib-rest"/g)).toHaveLength(1);
    expect(svg.match(/class="ib-sum"/g)).toHaveLength(1);
    expect(svg.match(/time \/ min/g)).toHaveLength(1);
    expect(svg).not.toMatch(/NaN|undefined/);
  });

  it("leaves a gap under a summed peak, which has no model", () => {
    const trace = fittedTrace();
    const summed = { ...trace, components: [], peaks: [{ ...trace.peaks[0], fitted: false }] };
    const rest = leftOver(summed);
    expect(rest.every((value, index) => Number.isNaN(value) === Math.abs(trace.time[index] - 4) <= 1)).toBe(
      true,
    );
  });

  it("is cut off at twelve times the noise, and says so", () => {
    const trace = fittedTrace();
    trace.signal[2000] = 3;
    const { range, cut } = stripRange({ title: "residual" }, leftOver(trace), 0.01, 0, 2999);
    expect([range[1], cut]).toEqual([0.12, true]);
    expect(drawTrace(trace, { x: [0, 10] }, 900, DRAWING_TOOLS).svg).toContain(
      "residual, cut off at the edges",
    );
    // Zoomed to where nothing sticks out it is not cut.
    expect(drawTrace(trace, { x: [8, 10] }, 900, DRAWING_TOOLS).svg).not.toContain("cut off");
  });

  it("is the same after packing for a page, to a few eighths of the noise", () => {
    const trace = fittedTrace();
    const weights = { title: "weights", values: trace.time.map((t) => t / 10), range: [0, 1] as const };
    const back = unpackTrace(packTrace({ ...trace, strip: weights }), unpackSeries);
    expect(back.strip?.title).toBe("weights");
    expect(
      Math.max(...trace.time.map((t, index) => Math.abs((back.strip?.values?.[index] ?? 9) - t / 10))),
    ).toBeLessThan(1e-3);
    const residual = leftOver(unpackTrace(packTrace(trace), unpackSeries));
    const own = leftOver(trace);
    expect(Math.max(...own.map((value, index) => Math.abs(value - residual[index])))).toBeLessThan(0.005);
  });
});

describe("a plain record", () => {
  it("with a peak a thousand times its noise is drawn twice: full scale and trace level", () => {
    const { time, signal } = fittedTrace();
    const drawn = readRecord(
      makeChromatogram({ id: "A1", time, signal: signal.map((y) => 1 + 3 * (y - 1)) }),
    );
    const { panels } = drawTrace(drawn, { x: [0, 10] }, 900, DRAWING_TOOLS);
    expect(panels).toHaveLength(2);
    // The level of the record, 1, lies inside the magnified panel, whose span is below a tenth of the peak.
    expect(panels[1].y[0]).toBeLessThan(1.5);
    expect(panels[1].y[1]).toBeGreaterThan(1);
    expect(panels[1].y[1] - panels[1].y[0]).toBeLessThan(3);
  });

  it("of noise alone is drawn once", () => {
    const random = createRandom(2);
    const time = Float64Array.from({ length: 2000 }, (_, index) => index / 300);
    const drawn = readRecord(makeChromatogram({ id: "B1", time, signal: time.map(() => random.normal()) }));
    expect(drawTrace(drawn, { x: [0, 6] }, 900, DRAWING_TOOLS).panels).toHaveLength(1);
  });
});
