import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { quietStretches } from "../../toolkit/peaks/integration/quiet-stretches.js";

const N = 6000;
const WINDOW = 200;
const all = new Uint8Array(N).fill(1);

function white(seed: number): Float64Array {
  const y = new Float64Array(N);
  createRandom(seed).fillNormal(y);
  return y;
}

const share = (mask: Uint8Array) => mask.reduce((sum, each) => sum + each, 0) / mask.length;

describe("quiet stretches of a blank", () => {
  it("are nearly all of it where it is alike everywhere", () => {
    for (const seed of [1, 2, 3])
      expect(share(quietStretches(white(seed), WINDOW, all))).toBeGreaterThan(0.93);
  });

  it("leave out a hump that is not twice alike, and little else", () => {
    for (const seed of [1, 2, 3]) {
      const rest = white(seed).map((value, i) => value + 3 * Math.exp(-0.5 * ((i - 4000) / 100) ** 2));
      const quiet = quietStretches(rest, WINDOW, all);
      expect(quiet.subarray(3850, 4150).every((each) => each === 0)).toBe(true);
      expect(share(quiet.subarray(0, 3500))).toBeGreaterThan(0.93);
    }
  });

  it("leave out a spike, but not its surroundings", () => {
    const rest = white(1);
    const usual = quietStretches(rest, WINDOW, all);
    rest[1500] += 20;
    const quiet = quietStretches(rest, WINDOW, all);
    expect(quiet[1500]).toBe(0);
    expect(Math.abs(share(quiet) - share(usual))).toBeLessThan(0.01);
  });

  it("never take in what was not to be looked at", () => {
    const usable = all.slice().fill(0, 1000, 2000);
    expect(quietStretches(white(2), WINDOW, usable).subarray(1000, 2000)).toEqual(new Uint8Array(1000));
    expect(quietStretches(white(2), WINDOW, new Uint8Array(N))).toEqual(new Uint8Array(N));
  });
});
