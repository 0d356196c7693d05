import { describe, expect, it } from "vitest";
import { DISPLAY } from "../../toolkit/display.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";

describe("makeChromatogram", () => {
  it("keeps typed arrays, copies anything else, and takes µS/cm for granted", () => {
    const time = Float64Array.of(0, 1, 2);
    const made = makeChromatogram({ id: "a", time, signal: [1, 2, 3] });
    expect(made.time).toBe(time);
    expect(made.signal).toEqual(Float64Array.of(1, 2, 3));
    expect([made.kind, made.signalUnit, made.notes]).toEqual(["chromatogram", "µS/cm", []]);
    expect(String(made)).toBe("chromatogram a: 3 points, 0 to 2 min, 1 to 3 µS/cm");
  });

  it("shows itself in a notebook with plain text at least", async () => {
    const made = makeChromatogram({ id: "a", time: [0, 1], signal: [1, 2] });
    const show = (made as unknown as Record<symbol, () => unknown>)[DISPLAY];
    expect(await show.call(made)).toHaveProperty(["text/plain"]);
  });

  it.each([
    ["length-mismatch", { time: [0, 1, 2], signal: [1, 2] }],
    ["too-few-points", { time: [0], signal: [1] }],
    ["not-finite", { time: [0, 1], signal: [1, Number.NaN] }],
    ["not-finite", { time: [0, Number.POSITIVE_INFINITY], signal: [1, 2] }],
    ["time-not-increasing", { time: [0, 1, 1], signal: [1, 2, 3] }],
  ])("refuses %s", (code, parts) => {
    expect(() => makeChromatogram({ id: "a", ...parts })).toThrow(expect.objectContaining({ code }));
  });
});
