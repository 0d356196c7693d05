// Invented peaks of known area (exponentially modified Gaussians) with a shoulder that the detector is said to have seen.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { hiddenPartners } from "../../toolkit/peaks/integration/hidden-partners.js";
import { emg, emgApexShift } from "../../toolkit/peaks/shape/emg.js";
import { blankNoise } from "../../toolkit/signal/blank-noise.js";
import { maskedBaseline } from "../../toolkit/signal/masked-baseline.js";

const N = 1500;
const SIGMA = 20;
const TAU = 6;
const NOISE = 1e-3;
const APEX = 700;
/** Apex to apex, in σ: too near for a valley. */
const APART = 2.5;

function noiseOf(seed: number): Float64Array {
  const random = createRandom(seed);
  return Float64Array.from({ length: N }, () => NOISE * random.normal());
}

/** A peak of area 50 with a second one of the given share behind it, and a shoulder said to stand there. */
function partnerOf(share: number) {
  const noise = noiseOf(1);
  const centre = APEX - emgApexShift(TAU / SIGMA) * SIGMA;
  const y = noise.map(
    (value, i) =>
      value + 50 * (emg(i, centre, SIGMA, TAU) + share * emg(i, centre + APART * SIGMA, SIGMA, TAU)),
  );
  const free = new Uint8Array(N).fill(1).fill(0, APEX - 6 * SIGMA, APEX + 14 * SIGMA);
  const blanks = Array.from({ length: 6 }, (_, k) => noiseOf(100 + k));
  const peak = { apex: APEX, sigma: SIGMA, tau: TAU, present: true, sumPerFit: 1 };
  return hiddenPartners(y, [peak], [[APEX + APART * SIGMA]], {
    baseline: maskedBaseline(new Float64Array(N), free, (2 * SIGMA) ** 4),
    noise: blankNoise(
      blanks,
      blanks.map(() => new Uint8Array(N).fill(1)),
    ),
    ...{ white: NOISE, reach: N, spread: NOISE, unseen: false },
  });
}

describe("a shoulder that was seen", () => {
  it("of 10 % is a peak of its own, with its area and the figures that decided", () => {
    const [{ accepted, area, apex, because }] = partnerOf(0.1);
    expect(accepted).toBe(true);
    expect(Math.abs(area / 5 - 1)).toBeLessThan(0.05);
    expect(Math.abs(apex - APEX - APART * SIGMA)).toBeLessThan(0.2 * SIGMA);
    expect(because).toMatch(/^BIC falls by \d+, its area is \d+ u, 2\.\d σ away$/);
  });

  it("of 1.5 % is refused, for real shapes miss their curves by as much: the reason has the figure that decided", () => {
    const [{ accepted, area, because }] = partnerOf(0.015);
    expect(accepted).toBe(false);
    expect(Math.abs(area / 0.75 - 1)).toBeLessThan(0.3);
    expect(because).toMatch(
      /^(BIC changes by -?\d+\.\d, and must fall by more than 6|its area is only \d\.\d u)$/,
    );
  });

  it("where nothing stands is refused", () => {
    const partners = partnerOf(0);
    expect(partners.filter(({ accepted }) => accepted)).toEqual([]);
  });
});
