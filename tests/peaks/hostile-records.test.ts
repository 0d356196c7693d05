// Records that no instrument should write, and some do. Every call ends in finite figures or in advice (an IonbookError):
// no NaN, no hang, no other exception. NaN is documented for figures that a record does not show (each then named in
// `missing`) and for samples outside a baseline's region. Full size: tests/score/hostile-records.test.ts.
import { describe, expect, it } from "vitest";
import { findPeaks } from "../../toolkit/peaks/detection/find-peaks.js";
import { peakFigures } from "../../toolkit/peaks/figures/peak-figures.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { everyNumberOf } from "./every-number.js";
import { CALLS, HOSTILE, ordinary, tryHostile } from "./hostile-runs.js";

describe.each(Object.keys(HOSTILE))("%s", (kind) => {
  it.each(Object.keys(CALLS).map((call, k) => [call, 1 + (k % 3)] as const))(
    "%s gives finite figures or advice (seed %i)",
    (call, seed) => tryHostile(kind, call, seed, 1),
  );
});

it("the check sees a NaN inside a result", () => {
  const odd = {
    kind: "fitted-peaks",
    peaks: [{ area: { value: Number.NaN } }],
    other: Float64Array.of(1, 2),
  };
  expect([...everyNumberOf(odd)].map(([name]) => name)).toEqual(["peaks.0.area.value", "other.0", "other.1"]);
  expect([...everyNumberOf({ kind: "peak-figures", tailing: Number.NaN, missing: {} })]).toHaveLength(1);
});

describe.each([1, 2, 3])("a top cut off, seed %i", (seed) => {
  const { time, signal } = ordinary(seed);
  const cut = makeChromatogram({ id: "cut", time, signal: signal.map((y) => Math.min(y, 2.4)) });

  it("is told on its peak alone, and not on a peak that is whole", () => {
    const flags = findPeaks(cut, { from: 0 }).map(({ retentionTime, saturated }) => [
      Math.round(retentionTime),
      saturated,
    ]);
    expect(flags).toEqual([
      [3, true],
      [5, undefined],
      [7, undefined],
    ]);
    const whole = findPeaks(makeChromatogram({ id: "whole", time, signal }), { from: 0 });
    expect(whole.some(({ saturated }) => saturated)).toBe(false);
  });

  it("a top that was rounded flat is not cut", () => {
    const rounded = signal.map((y) => Math.round(y * 20) / 20);
    const found = findPeaks(makeChromatogram({ id: "rounded", time, signal: rounded }), { from: 0 });
    expect(found.length).toBeGreaterThan(0);
    expect(found.some(({ saturated }) => saturated)).toBe(false);
  });

  it("has no widths", () => {
    const around = (i: number) => i >= 140 && i <= 230;
    const trace = {
      time: cut.time.filter((_, i) => around(i)),
      signal: cut.signal.filter((_, i) => around(i)).map((y) => y - 1),
    };
    expect(peakFigures(trace).widthAtHalfHeight).toBeNaN();
  });
});
