// Invented records with exactly known noise and drift. Definitions: ASTM E685 (from memory).
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { estimateNoise } from "../../toolkit/signal/noise.js";

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
