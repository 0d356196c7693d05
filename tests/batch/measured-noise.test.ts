// Hand-made records (invented) that show the peak and the noise of handbook DETECTION §2: 0.0182 and 0.0011 µS at 0.020 mg/L.
import { describe, expect, it } from "vitest";
import type { IonCurve } from "../../toolkit/batch/quantify/calibrate-ions.js";
import type { EvaluatedChannel, EvaluatedRun } from "../../toolkit/batch/quantify/evaluate-channel.js";
import { measuredNoise } from "../../toolkit/batch/quantify/measured-noise.js";
import { limitLadder } from "../../toolkit/limits/limit-ladder.js";
import { channelOf, injection, methodIon, peak } from "./quantify-objects.js";

const [height, span, interval, sigma, start, at] = [0.0182, 0.0011, 0.005, 0.05, 2, 5];
const samples = 1200;
const timeOf = (i: number) => start + i * interval;
const zigzag = (i: number) => (i % 2 === 0 ? span / 2 : -span / 2);
const bell = (i: number, centre: number, tall: number) =>
  tall * Math.exp(-0.5 * ((timeOf(i) - centre) / sigma) ** 2);

interface Made {
  readonly kind: "blank" | "calibration";
  readonly id: string;
  readonly signal: (i: number) => number;
  /** Where the ion's peak was found, min. */
  readonly seen?: number;
  /** The blanks' common course, µS/cm. */
  readonly course?: number;
}

function madeRun({ kind, id, signal, seen, course = 0 }: Made): EvaluatedRun {
  const corrected = Float64Array.from({ length: samples }, (_, i) => signal(i));
  const found = peak({ time: seen ?? at, area: 1, ion: 0 });
  const index = Math.round(((seen ?? at) - start) / interval);
  const raw = seen === undefined || found.raw === undefined ? undefined : { ...found.raw, index, time: seen };
  const chromatogram = { signal: corrected.map((y) => y + course) };
  return {
    injection: injection({ kind, id }),
    trace: { interval, start, corrected, own: corrected, chromatogram, offset: 0 },
    peaks: [{ ...found, raw }],
  } as unknown as EvaluatedRun;
}

const blanks = (more: Partial<Made> = {}) =>
  ["b1", "b2", "b3"].map((id) => madeRun({ kind: "blank", id, signal: zigzag, ...more }));
const standard = (id: string, tall: number, seen: number | undefined = at) =>
  madeRun({ kind: "calibration", id, signal: (i) => bell(i, at, tall), ...(seen !== undefined && { seen }) });
const levels = [standard("s1", 0.9 * height), standard("s2", 1.1 * height), standard("s3", 5 * height)];
const point = (id: string, concentration: number, rejected?: string) => ({
  injection: id,
  concentration,
  rejected,
});
const points = [point("s1", 0.02), point("s2", 0.02), point("s3", 0.1)];
const noiseIn = (runs: readonly EvaluatedRun[], of: readonly object[] = points) => {
  const channel = { ...channelOf([methodIon("nitrite", at)], runs), shapes: [{ sigma, tau: 0 }] };
  return measuredNoise(channel as unknown as EvaluatedChannel, 0, { points: of } as unknown as IonCurve);
};

describe("peak and noise of a batch", () => {
  it("give the limits of handbook DETECTION §3, rows 1 and 1b", () => {
    const noise = noiseIn([...blanks(), ...levels]);
    expect(noise?.concentration).toBe(0.02);
    expect(Math.abs((noise?.height ?? 0) / height - 1)).toBeLessThan(0.002);
    expect(noise?.peakToPeak).toBeCloseTo(span, 12);
    const ladder = limitLadder({ noise });
    const text = (id: string) =>
      ladder.rung(id).limits.map(({ value }) => (Math.ceil(value * 1e4 - 0.5) / 1e4).toFixed(4));
    expect(text("signal-to-noise")).toEqual(["0.0018", "0.0060"]);
    expect(text("signal-to-noise-everyday")).toEqual(["0.0036", "0.0121"]);
    expect(ladder.rung("signal-to-noise").requirement).toBe("met");
  });

  it("read noise over five widths at half height about the peak's place and no further", () => {
    const half = 2.5 * 2.3548 * sigma;
    const loud = (from: number) => (i: number) => zigzag(i) * (Math.abs(timeOf(i) - at) > from ? 10 : 1);
    expect(noiseIn([...blanks({ signal: loud(half + 0.01) }), ...levels])?.peakToPeak).toBeCloseTo(span, 12);
    expect(noiseIn([...blanks({ signal: loud(half - 0.02) }), ...levels])?.peakToPeak).toBeCloseTo(
      10 * span,
      12,
    );
  });

  it("read it beside a peak that the blanks show, and not in it", () => {
    const dirty = blanks({ signal: (i) => zigzag(i) + bell(i, at, 1), seen: at });
    // A peak nine hundred times the noise leaves 4·10⁻⁶ of its height five σ away.
    expect(Math.abs((noiseIn([...dirty, ...levels])?.peakToPeak ?? 0) / span - 1)).toBeLessThan(0.004);
  });

  it("stretch what a common course took out of three blanks", () => {
    const noise = noiseIn([...blanks({ course: 0.3 }), ...levels]);
    expect(noise?.peakToPeak).toBeCloseTo(span / Math.sqrt(2 / 3), 12);
  });

  it("leave out levels whose injections do not all show the peak, rejected points, and what has no blank", () => {
    const unseen = madeRun({ kind: "calibration", id: "s2", signal: zigzag });
    expect(noiseIn([...blanks(), levels[0], unseen, levels[2]])?.concentration).toBe(0.1);
    const without = [points[0], point("s2", 0.02, "air bubble"), points[2]];
    const height1 = noiseIn([...blanks(), levels[0], unseen, levels[2]], without)?.height ?? 0;
    expect(Math.abs(height1 / (0.9 * height) - 1)).toBeLessThan(0.002);
    expect(noiseIn(levels)).toBeUndefined();
    expect(noiseIn([...blanks(), unseen], [points[1]])).toBeUndefined();
    expect(noiseIn([...blanks({ signal: () => 0 }), ...levels])).toBeUndefined();
  });
});
