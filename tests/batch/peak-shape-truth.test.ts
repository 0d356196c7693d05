// Widths and symmetry factors of peaks.csv against the shapes that the invented demonstration batch was drawn with:
// Haarhoff–Van der Linde bands with an exponential (Anal. Chem. 38 (1966) 573, from memory), worked out anew on a grid
// four times finer than the record and without noise, levels by straight lines between its points.
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import type { PeakResult } from "../../toolkit/batch/types.js";
import { elutionProfile } from "../../toolkit/simulation/elution-profile.js";
import { ANION_SOLUTES, CATION_SOLUTES } from "../../toolkit/simulation/road-salt-instruments.js";
import type { TrueInjection } from "../../toolkit/simulation/truth.js";
import { DEMO_FOLDER, demoResults } from "./demo-results.js";

const STEP = 1 / 20;
/** Every so many injections: the true shape of each takes milliseconds. */
const EVERY = 4;

function trueShape({ ion, sigma, overload }: TrueInjection["peaks"][number]) {
  const solute = [...ANION_SOLUTES, ...CATION_SOLUTES].find((each) => each.ion === ion);
  const s = 60 * sigma;
  const band = { center: 12 * s, sigma: s, tau: (solute?.tailing ?? Number.NaN) * s, overload };
  const y = elutionProfile(band, { step: STEP, length: Math.round((24 * s) / STEP) });
  const top = y.indexOf(Math.max(...y));
  const reach = (share: number, step: -1 | 1): number => {
    const level = share * y[top];
    let i = top;
    while (y[i] > level) i += step;
    return Math.abs(i - step - top) + (y[i - step] - level) / (y[i - step] - y[i]);
  };
  return {
    widthHalf: ((reach(0.5, -1) + reach(0.5, 1)) * STEP) / 60,
    tailing: (reach(0.05, -1) + reach(0.05, 1)) / (2 * reach(0.05, -1)),
  };
}

interface Compared {
  readonly row: PeakResult;
  readonly width: number;
  readonly tail: number;
}

let compared: readonly Compared[];
beforeAll(async () => {
  const { peaks } = await demoResults();
  const truth = JSON.parse(readFileSync(`${DEMO_FOLDER}truth.json`, "utf8")) as {
    channels: { injections: TrueInjection[] }[];
  };
  const injections = truth.channels.flatMap((channel) =>
    channel.injections.filter((_, i) => i % EVERY === 0),
  );
  compared = injections.flatMap((injection) =>
    // The band of a weak base is bent by the cell, so its peak is wider than the band.
    injection.peaks.flatMap((peak): Compared[] => {
      const row = peaks.find((each) => each.injection === injection.injection && each.ion === peak.ion);
      if (row?.widthHalf === undefined || row.tailing === undefined || peak.ion === "ammonium") return [];
      const shape = trueShape(peak);
      return [{ row, width: row.widthHalf / shape.widthHalf - 1, tail: row.tailing / shape.tailing - 1 }];
    }),
  );
}, 60_000);

const quantile = (values: readonly number[], share: number): number =>
  [...values].sort((a, b) => a - b)[Math.floor(share * (values.length - 1))];

describe("peaks.csv against the shapes it was simulated with (invented data)", () => {
  it("measures widths at half height within 1 % in the median and 3 % for nine in ten", () => {
    expect(compared.length).toBeGreaterThan(80);
    const widths = compared.map(({ width }) => width);
    expect(Math.abs(quantile(widths, 0.5))).toBeLessThan(0.01);
    expect(quantile(widths.map(Math.abs), 0.9)).toBeLessThan(0.03);
  });

  it("measures symmetry factors within 1 % in the median, far above the noise for nine in ten", () => {
    const tails = compared.map(({ tail }) => tail);
    const clear = compared.filter(({ row }) => row.signalToNoise > 1000).map(({ tail }) => Math.abs(tail));
    expect(Math.abs(quantile(tails, 0.5))).toBeLessThan(0.01);
    expect(clear.length).toBeGreaterThan(30);
    expect(quantile(clear, 0.9)).toBeLessThan(0.01);
  });
});
