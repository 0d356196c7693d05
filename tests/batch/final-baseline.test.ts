// Invented records without noise on a level of 0.5 µS/cm: every true sum is known.
import { describe, expect, it } from "vitest";
import { finalTrace } from "../../toolkit/batch/quantify/final-baseline.js";
import type { PreparedTrace } from "../../toolkit/batch/quantify/prepared-trace.js";
import { emg, emgApexShift } from "../../toolkit/peaks/shape/emg.js";
import { integrationWindow } from "../../toolkit/peaks/shape/integration-window.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";

const INTERVAL = 0.2 / 60;
const SHAPE = { sigma: 0.1, tau: 0.07 };
const NOISE = 5e-4;
const LEVEL = 0.5;

/**
 * Relative error of the area of the last peak (centres in min) over its window, all peaks of one area (µS/cm·min), where
 * the first baseline trusted every sample: what the peaks keep for themselves is all there is.
 */
function lastError(centres: readonly number[], area: number): number {
  const time = Float64Array.from({ length: 4800 }, (_, i) => i * INTERVAL);
  const peaks = time.map((t) =>
    centres.reduce((sum, mu) => sum + area * emg(t, mu, SHAPE.sigma, SHAPE.tau), 0),
  );
  const own = peaks.map((value) => value + LEVEL);
  const trace: PreparedTrace = {
    injection: { id: "invented" } as PreparedTrace["injection"],
    chromatogram: makeChromatogram({ id: "invented", time, signal: own }),
    offset: 0,
    interval: INTERVAL,
    start: 0,
    corrected: peaks,
    baseline: new Float64Array(time.length).fill(LEVEL),
    own,
    weights: new Float64Array(time.length).fill(1),
    noise: NOISE,
  };
  const shift = emgApexShift(SHAPE.tau / SHAPE.sigma) * SHAPE.sigma;
  const occupied = centres.map((mu) => {
    const apex = mu + shift;
    return { ...SHAPE, time: apex, height: area * emg(apex, mu, SHAPE.sigma, SHAPE.tau) };
  });
  const { corrected } = finalTrace(trace, occupied, SHAPE.sigma);
  const apex = occupied[occupied.length - 1].time / INTERVAL;
  const shape = { sigma: SHAPE.sigma / INTERVAL, tau: SHAPE.tau / INTERVAL };
  const [first, last] = integrationWindow(apex, shape, 1, corrected.length);
  let [found, there] = [0, 0];
  for (let i = first; i <= last; i++) {
    found += corrected[i];
    there += peaks[i];
  }
  return found / there - 1;
}

describe.each([0.5, 5, 50])("a baseline drawn again beside peaks of %d µS/cm·min", (area) => {
  it("leans on nothing of theirs that the noise does not hide: areas are whole within 0.02 %", () => {
    for (const centres of [[9], [7.8, 9], [6.6, 7.8, 9]])
      expect(Math.abs(lastError(centres, area))).toBeLessThan(2e-4);
  });
});
