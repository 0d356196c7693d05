import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { packTrace, unpackTrace } from "../../toolkit/show/trace/pack-trace.js";
import { readTrace } from "../../toolkit/show/trace/read-trace.js";
import { packSeries, unpackSeries } from "../../toolkit/show/trace/series-code.js";
import { inventedResults } from "./invented-results.js";

describe("packed rows of numbers", () => {
  it("come back within half a step, whatever the numbers", () => {
    const values = fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { maxLength: 80 });
    fc.assert(
      fc.property(values, fc.double({ min: 1e-4, max: 10, noNaN: true }), (numbers, quantum) => {
        const back = unpackSeries(packSeries(numbers, quantum));
        expect(back).toHaveLength(numbers.length);
        numbers.forEach((value, index) => {
          expect(Math.abs(back[index] - value)).toBeLessThanOrEqual(quantum * 0.5001);
        });
      }),
      { seed: 2, numRuns: 300 },
    );
  });

  it("do not drift: a long row ends as exactly as it begins", () => {
    const values = Float64Array.from(
      { length: 50_000 },
      (_, index) => 40 * Math.sin(index / 700) + index * 1e-3,
    );
    const back = unpackSeries(packSeries(values, 1e-4));
    expect(Math.abs(back[49_999] - values[49_999])).toBeLessThan(0.6e-4);
  });

  it("repeat the number before a missing one", () => {
    expect([...unpackSeries(packSeries([1, Number.NaN, 3], 0.5))]).toEqual([1, 1, 3]);
  });
});

describe("a packed strip", () => {
  it("keeps its gaps: what has no residual is no straight line", () => {
    const values = Float64Array.from({ length: 90 }, (_, index) =>
      index > 30 && index < 50 ? Number.NaN : 0.01 * index,
    );
    values[0] = Number.NaN;
    const flat = new Float64Array(90);
    const strip = { title: "residual", values, range: [0, 1] as const };
    const trace = {
      axis: "signal",
      time: Float64Array.from(flat, (_, index) => index / 300),
      signal: flat,
      baseline: flat,
      noise: 0.01,
      peaks: [],
      components: [],
      strip,
    };
    const back = unpackTrace(packTrace(trace), unpackSeries).strip?.values ?? new Float64Array(0);
    expect(back.length).toBe(values.length);
    values.forEach((value, index) => {
      if (Number.isNaN(value)) expect(back[index]).toBeNaN();
      else expect(Math.abs(back[index] - value)).toBeLessThan(0.001);
    });
  });
});

describe("a packed trace", () => {
  const results = inventedResults({ points: 6000, channels: ["anion"] });
  const trace = readTrace([...results.traces.values()][25]);
  const packed = packTrace(trace);
  const back = unpackTrace(packed, unpackSeries);

  it("keeps every point of the record within a sixteenth of its noise", () => {
    expect(back.signal).toHaveLength(6000);
    trace.signal.forEach((value, index) => {
      expect(Math.abs(back.signal[index] - value)).toBeLessThan(trace.noise / 15);
      expect(Math.abs(back.time[index] - trace.time[index])).toBeLessThan(1e-6);
    });
  });

  it("keeps the baseline, and its absence outside the evaluated stretch", () => {
    trace.baseline.forEach((value, index) => {
      expect(Number.isNaN(back.baseline[index])).toBe(Number.isNaN(value));
      if (!Number.isNaN(value)) expect(Math.abs(back.baseline[index] - value)).toBeLessThan(trace.noise / 2);
    });
  });

  it("takes less than two bytes of text for a point of the signal", () => {
    expect(packed.signal.b.length / 6000).toBeLessThan(2);
  });

  it("keeps an uneven time base point by point", () => {
    const time = trace.time.map((value, index) => value + (index % 7) * 1e-3);
    const uneven = unpackTrace(packTrace({ ...trace, time }), unpackSeries);
    time.forEach((value, index) => {
      expect(Math.abs(uneven.time[index] - value)).toBeLessThan(3e-6);
    });
  });
});
