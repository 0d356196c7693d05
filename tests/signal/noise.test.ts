// Invented records with exactly known noise and drift. Definitions: ASTM E685 (from memory).
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { estimateNoise } from "../../toolkit/signal/noise.js";
import { pharmacopoeialNoise } from "../../toolkit/signal/pharmacopoeial-noise.js";

const time = Float64Array.from({ length: 3001 }, (_, i) => i / 300);

describe("a cosine of known amplitude on a straight line", () => {
  // Symmetric about the middle, so the line cannot take any of it.
  const signal = time.map((t) => 0.5 + 0.02 * t + 0.01 * Math.cos(2 * Math.PI * (t - 5)));
  const noise = estimateNoise(makeChromatogram({ id: "cosine", time, signal }));

  it("its r.m.s. is the amplitude over √2 within 0.1 %, its span twice the amplitude within 0.1 %", () => {
    expect(Math.abs((noise.rms * Math.SQRT2) / 0.01 - 1)).toBeLessThan(1e-3);
    expect(Math.abs(noise.peakToPeak / 0.02 - 1)).toBeLessThan(1e-3);
  });

  it("its drift is the slope per minute to 1e-9", () =>
    expect(Math.abs(noise.drift - 0.02)).toBeLessThan(1e-9));

  it("slow waves are no white noise", () => expect(noise.white).toBeLessThan(1e-3 * noise.rms));
});

describe.each([1, 2, 3])("white noise, seed %i", (seed) => {
  const random = createRandom(seed);
  const signal = time.map((t) => 3 * t + 0.004 * random.normal());

  it("r.m.s. and white part are the standard deviation put in, within 4 % and 6 %", () => {
    const noise = estimateNoise(makeChromatogram({ id: "white", time, signal }));
    expect(Math.abs(noise.rms / 0.004 - 1)).toBeLessThan(0.04);
    expect(Math.abs(noise.white / 0.004 - 1)).toBeLessThan(0.06);
  });

  it("a peak outside the stretch does not count, and the stretch is named", () => {
    const peaked = signal.map((y, i) => y + 50 * Math.exp(-0.5 * ((time[i] - 8) / 0.1) ** 2));
    const noise = estimateNoise(makeChromatogram({ id: "peak", time, signal: peaked }), { from: 1, to: 6 });
    expect(Math.abs(noise.rms / 0.004 - 1)).toBeLessThan(0.06);
    expect(noise.from).toBeCloseTo(1, 9);
    expect(noise.to).toBeCloseTo(6, 9);
  });
});

it("a stretch of three samples is refused", () => {
  const chromatogram = makeChromatogram({ id: "short", time, signal: time });
  expect(() => estimateNoise(chromatogram, { from: 1, to: 1.008 })).toThrow(
    expect.objectContaining({ code: "short-stretch" }),
  );
});

describe("windows", () => {
  // A wave of 4 min period, an extreme or a zero crossing at every full minute; symmetric, so the line takes nothing of it.
  const hour = Float64Array.from({ length: 18_001 }, (_, i) => i / 300);
  const wave = hour.map((t) => 1 - 0.05 * t + 0.01 * Math.cos((Math.PI / 2) * (t - 30)));
  const long = estimateNoise(makeChromatogram({ id: "hour", time: hour, signal: wave }));

  it("of 1 min see half the wave, those of 10 min and the whole stretch all of it", () => {
    expect(long.shortTerm / 0.01).toBeCloseTo(1, 2);
    expect((long.longTerm ?? 0) / 0.02).toBeCloseTo(1, 2);
    expect(long.peakToPeak / 0.02).toBeCloseTo(1, 2);
    expect(long.windows).toEqual({
      shortTerm: { length: 1, count: 60 },
      longTerm: { length: 10, count: 6 },
    });
    expect(long.driftPerHour / -3).toBeCloseTo(1, 2);
    expect(long.samples).toBe(18_001);
  });

  it("of 10 min are not used below an hour, and below a minute the stretch is the window", () => {
    const record = makeChromatogram({ id: "hour", time: hour, signal: wave });
    expect(estimateNoise(record, { to: 59 }).longTerm).toBeUndefined();
    const short = estimateNoise(record, { to: 0.5 });
    expect(short.shortTerm).toBe(short.peakToPeak);
    expect(short.windows.shortTerm).toEqual({ length: 0.5, count: 1 });
  });

  // Expected range of normal readings: 4.50 s (50), 5.02 s (100), 5.49 s (200), 6.07 s (500); L. H. C. Tippett,
  // Biometrika 17 (1925) 364 (from memory; 500 also the handbook's own study).
  it.each([
    [50, 4.5],
    [100, 5.02],
    [500, 6.07],
  ])("peak-to-peak over s.d. of windows of %i white readings is %f within 2.5 %%", (readings, expected) => {
    const random = createRandom(1);
    const minutes = Float64Array.from({ length: 400 * readings + 1 }, (_, i) => i / readings);
    const signal = minutes.map(() => random.normal());
    const noise = estimateNoise(makeChromatogram({ id: "white", time: minutes, signal }));
    expect(noise.windows.shortTerm.count).toBe(400);
    expect(Math.abs(noise.shortTerm / noise.rms / expected - 1)).toBeLessThan(0.025);
  });
});

describe("the pharmacopoeial noise", () => {
  const signal = time.map((t) => 0.5 + 0.01 * Math.cos(2 * Math.PI * (t - 5)));
  const blank = makeChromatogram({ id: "blank", time, signal });

  it("is the span over five widths at half height around the peak's place, readings and interval named", () => {
    const { h, from, to, samples, interval, widths } = pharmacopoeialNoise(blank, {
      retentionTime: 5,
      widthAtHalfHeight: 0.2,
    });
    expect(h / 0.02).toBeCloseTo(1, 4);
    expect([from, to].map((t) => Number(t.toFixed(3)))).toEqual([4.5, 5.5]);
    expect(samples).toBe(301);
    expect(interval).toBeCloseTo(1 / 300, 12);
    expect(widths).toBe(5);
    const narrow = pharmacopoeialNoise(blank, { retentionTime: 5, widthAtHalfHeight: 0.1 });
    expect(narrow.h / (0.01 * (1 - Math.cos(Math.PI / 2)))).toBeCloseTo(1, 4);
  });

  it.each([
    ["four widths", "bad-width", { retentionTime: 5, widthAtHalfHeight: 0.2, widths: 4 }],
    ["a width of zero", "bad-width", { retentionTime: 5, widthAtHalfHeight: 0 }],
    ["a window over the end", "short-stretch", { retentionTime: 9.8, widthAtHalfHeight: 0.2 }],
    ["a window beside the record", "short-stretch", { retentionTime: 20, widthAtHalfHeight: 0.2 }],
  ])("refuses %s as %s", (_, code, options) => {
    expect(() => pharmacopoeialNoise(blank, options)).toThrow(expect.objectContaining({ code }));
  });
});
