// Invented giants with one small peak of known area on the tail that shows no maximum in the record (rider-scenes.ts).
import { describe, expect, it } from "vitest";
import { integrateChromatogram } from "../../toolkit/peaks/integration/integrate-chromatogram.js";
import { majorProfile } from "../../toolkit/peaks/riders/major-profile.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { riderScene, SIGMA } from "./rider-scenes.js";

const INTERVAL = 0.2 / 60;
const SHAPES = [{ retentionTime: 2.5, sigma: SIGMA * INTERVAL, tau: 0.4 * SIGMA * INTERVAL }];

function record(id: string, signal: Float64Array) {
  const time = Float64Array.from(signal, (_, i) => i * INTERVAL);
  return makeChromatogram({ id, time, signal, signalUnit: "µS/cm", notes: [] });
}

describe("riders without a maximum of their own", () => {
  const scene = riderScene("no maximum 2", "slow exponentials", 1000, 6, 1);
  const profiles = [majorProfile(record("major alone", scene.alone.values))];
  const place = (scene.giant.apex + 6 * SIGMA) * INTERVAL;
  const beside = (time: number) => Math.abs(time - place) < SIGMA * INTERVAL;

  it("6 σ behind a giant 1000 times larger: not found without its profile, found and measured with it", () => {
    const sample = record("sample", scene.y);
    const without = integrateChromatogram(sample, { shapes: SHAPES, from: 0 });
    expect(without.peaks.filter(({ retentionTime }) => beside(retentionTime))).toEqual([]);
    const { peaks } = integrateChromatogram(sample, { shapes: SHAPES, profiles, from: 0 });
    const [found, ...more] = peaks.filter(({ retentionTime }) => beside(retentionTime));
    expect(more).toEqual([]);
    expect(found.rule).toBe("rider over measured profile");
    expect(found.because).toMatch(
      /^a peak without a maximum of its own.*over the measured profile of the giant its area is \d+ u/,
    );
    expect(found.shoulderOf).toBeCloseTo(scene.giant.apex * INTERVAL, 1);
    expect(found.quantifiable).toBe(true);
    const truth = scene.area * INTERVAL;
    expect(Math.abs(found.area.value - truth)).toBeLessThan(2 * found.area.u);
    expect(found.area.u).toBeLessThan(0.15 * truth);
  });

  it("on a giant that carries none, none is found", () => {
    const { alone } = riderScene("no maximum 3", "slow exponentials", 1000, 6, 1);
    const { peaks } = integrateChromatogram(record("sample", alone.values), {
      shapes: SHAPES,
      profiles,
      from: 0,
    });
    expect(peaks.map(({ shoulderOf }) => shoulderOf)).toEqual(peaks.map(() => undefined));
    expect(peaks.length).toBeGreaterThan(0);
  });
});
