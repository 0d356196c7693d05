import { describe, expect, it } from "vitest";
import { fitEmgCluster } from "../../toolkit/peaks/fitting/emg-cluster.js";
import { shareOf, shareResponse } from "../../toolkit/peaks/integration/share-signal.js";
import { emg } from "../../toolkit/peaks/shape/emg.js";

const N = 240;
const time = Float64Array.from({ length: N }, (_, i) => i);
const STARTS = [
  { mu: 100, sigma: 12, tau: 5 },
  { mu: 135, sigma: 12, tau: 5 },
];
const FROM = 40;
const TO = 190;

/** A pair that the fit cannot follow entirely: its tail is longer than the fit is told. */
const pair = time.map((t) => 1000 * emg(t, 100, 12, 9) + 400 * emg(t, 135, 12, 9));

function shared(y: Float64Array, which: number) {
  const fit = fitEmgCluster(time, y, STARTS, { fixedShape: true });
  const components = STARTS.map((_, m) => fit.component(m));
  return { fit, components, ...shareOf(y, components, which, FROM, TO) };
}

describe("the response of a shared area to the readings", () => {
  for (const which of [0, 1]) {
    it(`is what moving single readings does to the area of peak ${which + 1}`, () => {
      const { fit, components, weights, area } = shared(pair, which);
      const response = shareResponse(pair, components, which, { first: FROM, weights }, fit);
      for (const i of [20, 60, 95, 110, 118, 125, 140, 170, 220]) {
        const moved = pair.slice();
        moved[i] += 0.01;
        expect((shared(moved, which).area - area) / 0.01).toBeCloseTo(response[i], 3);
      }
    });
  }

  it("is 1 in sum of both where all the signal is shared out", () => {
    const [a, b] = [0, 1].map((which) => {
      const { fit, components, weights } = shared(pair, which);
      return shareResponse(pair, components, which, { first: FROM, weights }, fit);
    });
    for (let i = FROM; i <= TO; i++) expect(a[i] + b[i]).toBeCloseTo(1, 6);
  });
});
