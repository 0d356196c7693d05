import { createHash } from "node:crypto";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, describe, expect, it } from "vitest";
import { elute, passCell } from "../score/second-generator/column.js";
import { conductivityAt, hydrogenAt } from "../score/second-generator/conductivity-cell.js";
import { addFlicker } from "../score/second-generator/disturbances.js";
import { generateSecond } from "../score/second-generator/generate.js";
import { standardsOf } from "../score/second-generator/laboratory.js";
import { ANION_METHOD, CATION_METHOD, type ChannelMethod } from "../score/second-generator/method.js";
import { modelAdequacy } from "../score/second-generator/model-adequacy.js";
import { stream } from "../score/second-generator/random.js";
import { type Injected, recordClean } from "../score/second-generator/record.js";
import { runPlan } from "../score/second-generator/run-plan.js";
import { samplesOf } from "../score/second-generator/scenario.js";
import { CARBONIC, soluteNamed } from "../score/second-generator/solutes.js";

const scratch = mkdtempSync(join(tmpdir(), "ionbook-second-"));
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

function injectionOf(micromolar: Readonly<Record<string, number>>): Injected {
  return {
    injection: "one",
    micromolar: new Map(Object.entries(micromolar)),
    volumeFactor: 1,
    retention: { strength: 0, flow: 0 },
    carbonate: 0,
    voidDepth: 1,
  };
}

function cleanPeak(method: ChannelMethod, ion: string, micromolar: number) {
  const { peaks } = recordClean(method, injectionOf({ [ion]: micromolar }), stream(1, "test"));
  const peak = peaks.find(({ name }) => name === ion);
  if (peak === undefined) throw new Error(`${ion} is not in the record`);
  return peak;
}

function conductivityOf(solutes: readonly string[], molar: readonly number[]): number {
  const list = solutes.map((name) => (name === "carbonic acid" ? CARBONIC : soluteNamed(name)));
  const concentrations = Float64Array.from(molar);
  const active = list.map((_, i) => i);
  return conductivityAt(list, concentrations, active, hydrogenAt(list, concentrations, active, 1e-7));
}

describe("the second generator's chemistry", () => {
  it("gives pure water its 0.055 µS/cm at 25 °C", () => {
    // Published by every table of water (e.g. ASTM D1125: 0.055 µS/cm); from memory.
    expect(conductivityOf([], [])).toBeCloseTo(0.055, 3);
  });

  it("gives hydrochloric acid 0.426 µS/cm per µmol/L", () => {
    // λ(H⁺) 349.65 + λ(Cl⁻) 76.31, CRC Handbook; between 100 and 101 µmol/L, less the 1.6 % that the limiting
    // law takes there: 1.5·(60.2 + 0.229·426)·√1e-4/426 for the slope.
    const slope = (conductivityOf(["chloride"], [1.01e-4]) - conductivityOf(["chloride"], [1e-4])) / 1;
    expect(slope / 0.42596).toBeCloseTo(1 - (1.5 * (60.2 + 0.229 * 425.96) * 0.01) / 425.96, 3);
  });

  it("gives water with 5 µmol/L of carbonic acid 0.51 µS/cm", () => {
    // K₁ 10^−6.35 with all carbonate counted: h³ − (K₁C + K_w)h … solved by hand: h = 1.28 µmol/L.
    expect(conductivityOf(["carbonic acid"], [5e-6])).toBeCloseTo(0.51, 2);
  });

  it.each([
    ["chloride", 349.65 + 76.31, 1],
    ["nitrate", 349.65 + 71.42, 1],
    ["sulfate", 349.65 + 80.0, 2],
  ])("keeps the area theorem for %s: ∫κ dt = 1000·Λ·n/F, whatever the width", (ion, conductance, charge) => {
    const peak = cleanPeak(ANION_METHOD, ion, 20);
    const moles = 20e-6 * ANION_METHOD.loop * 1e-6;
    const expected = (1000 * conductance * charge * moles) / (ANION_METHOD.flow / 1000);
    // 0.9 %: relaxation by ionic strength (≤ 0.6 %) and dissolved carbonic acid (≤ 0.3 %).
    expect(Math.abs(peak.area / expected - 1)).toBeLessThan(0.009);
  });

  it.each([
    ["anion", ANION_METHOD],
    ["cation", CATION_METHOD],
  ] as const)(
    "is described by the model that batch.json of the %s channel prescribes, at every level",
    (_, method) => {
      for (const { ion, worstPercent, byLevel } of modelAdequacy(method)) {
        expect(byLevel.length, ion).toBeGreaterThanOrEqual(5);
        expect(worstPercent, ion).toBeLessThan(0.5);
      }
    },
  );
});

describe("the second generator's column", () => {
  it.each([0.1, 0.5, 1])(
    "at loading %f puts apex and width where Haarhoff and Van der Linde do",
    (loading) => {
      // Haarhoff, Van der Linde, Anal. Chem. 38 (1966) 573 (from memory): y ∝ φ(u)/(1/(e^q − 1) + Φ(u)), u in σ.
      // Theirs is the limit of infinitely many contacts and a first-order isotherm; with 1200 contacts 0.05 σ remain.
      const step = 0.001;
      let integral = 0;
      const closed = Array.from({ length: 14_000 }, (_, i) => {
        const phi = Math.exp(-0.5 * (i * step - 7) ** 2) / Math.sqrt(2 * Math.PI);
        integral += phi * step;
        return phi / (1 / Math.expm1(loading) + integral);
      });
      const figures = (values: ArrayLike<number>) => {
        const list = Array.from(values);
        const height = list.reduce((top, value) => Math.max(top, value), 0);
        return { apex: list.indexOf(height), width: list.filter((value) => value > height / 2).length };
      };
      const theirs = figures(closed);
      const { share, centre, cellsPerSigma } = elute(loading);
      const ours = figures(share);
      expect(Math.abs((ours.apex - centre) / cellsPerSigma - (theirs.apex * step - 7))).toBeLessThan(0.05);
      expect(Math.abs(ours.width / cellsPerSigma - theirs.width * step)).toBeLessThan(0.09);
    },
  );

  it("loses nothing, at any loading and on any grid", () => {
    const shape = { sigma: 5, mixing: 0.6, quick: 2, lazy: 6, lazyShare: 0.1, pocketShare: 0.01, pocket: 15 };
    for (const loading of [0, 0.3, 3]) {
      for (const step of [0.1, 0.2, 0.5]) {
        const { share } = passCell(400, loading, shape, step, Math.round(1000 / step));
        expect(share.reduce((sum, value) => sum + value, 0)).toBeCloseTo(1, 4);
      }
    }
  });

  it.each([
    ...ANION_METHOD.targets.map(({ name }) => [name, ANION_METHOD] as const),
    ...CATION_METHOD.targets.map(({ name }) => [name, CATION_METHOD] as const),
  ])("makes %s tail by no more than 1.5", (ion, method) => {
    const { signal, peaks } = recordClean(method, injectionOf({ [ion]: 10 }), stream(1, "test"));
    const peak = peaks.find(({ name }) => name === ion);
    if (peak === undefined) throw new Error(`${ion} is not in the record`);
    const base = signal[Math.round((peak.retentionTime - 3 * peak.widthHalf) * 300)];
    const tenth = base + 0.1 * peak.height;
    const apex = Math.round(peak.retentionTime * 300);
    let left = apex;
    while (signal[left] > tenth) left--;
    let right = apex;
    while (signal[right] > tenth) right++;
    const asymmetry = (right - apex) / (apex - left);
    expect(asymmetry).toBeGreaterThan(0.95);
    expect(asymmetry).toBeLessThan(1.5);
  });
});

describe("the second generator's laboratory", () => {
  it("makes flicker whose power halves from octave to octave", () => {
    const values = new Float64Array(1 << 16);
    addFlicker(values, 1, stream(1, "flicker"));
    // Variance of differences of neighbouring block means is the same at every block length for 1/f noise.
    const spread = (block: number): number => {
      const means = Array.from({ length: Math.floor(values.length / block) }, (_, b) => {
        let sum = 0;
        for (let i = 0; i < block; i++) sum += values[b * block + i];
        return sum / block;
      });
      const steps = means.slice(1).map((mean, i) => (mean - means[i]) ** 2);
      return steps.reduce((sum, step) => sum + step, 0) / steps.length;
    };
    expect(spread(64) / spread(4)).toBeGreaterThan(0.6);
    expect(spread(64) / spread(4)).toBeLessThan(1.7);
  });

  it("lets standards deviate within their stated uncertainty, neither more nor less", () => {
    const z: number[] = [];
    for (let seed = 1; seed <= 40; seed++) {
      for (const { ions } of standardsOf(seed, ANION_METHOD).values()) {
        for (const { stated, real, u } of ions) z.push((real - stated) / u);
      }
    }
    // Ions of one flask and levels of one stock move together: some 700 independent among 3300, so 4 s.d. is 0.11.
    expect(Math.abs(Math.sqrt(z.reduce((sum, value) => sum + value * value, 0) / z.length) - 1)).toBeLessThan(
      0.11,
    );
  });

  it.each([1, 2, 3])(
    "with seed %i has blanks, levels, checks, spike, duplicates, extracts, traces and absent ions",
    (seed) => {
      const samples = samplesOf(seed);
      for (const method of [ANION_METHOD, CATION_METHOD]) {
        const { injections } = runPlan(seed, method, samples);
        const count = (kind: string) => injections.filter((one) => one.kind === kind).length;
        expect(count("blank")).toBeGreaterThanOrEqual(4);
        expect(count("calibration")).toBeGreaterThanOrEqual(8);
        expect(count("second source")).toBe(1);
        expect(count("continuing check")).toBeGreaterThanOrEqual(3);
        expect(count("duplicate")).toBe(2);
        expect(count("matrix spike")).toBe(1);
        const drift = injections.map(({ injected }) => 2 * injected.retention.strength);
        expect(Math.max(...drift) - Math.min(...drift)).toBeLessThan(0.01);
      }
      const contents = samples.flatMap((sample) => [...sample.contents]);
      expect(contents.filter(([, content]) => content === 0).length).toBeGreaterThanOrEqual(15);
      const traces = samples.flatMap(({ plan, contents: held, statedFactor }) =>
        ANION_METHOD.targets.filter(({ name, levels }) => {
          const injected = (held.get(name) ?? 0) / (statedFactor * Math.min(...plan.dilutions));
          return injected > 0 && injected < levels[0];
        }),
      );
      expect(traces.length).toBeGreaterThanOrEqual(2);
      expect(samples.filter(({ extract }) => extract).length).toBe(2);
    },
  );
});

function digest(folder: string): string {
  const hash = createHash("sha256");
  for (const name of readdirSync(folder, { recursive: true, encoding: "utf8" }).sort()) {
    if (/\.\w+$/.test(name)) hash.update(name).update(readFileSync(join(folder, name)));
  }
  return hash.digest("hex");
}

describe("generateSecond", () => {
  it("writes the same bytes and the same truth for the same seed, and others for another", () => {
    const first = generateSecond(1, join(scratch, "a"));
    const again = generateSecond(1, join(scratch, "b"));
    expect(digest(join(scratch, "a"))).toBe(digest(join(scratch, "b")));
    const bare = (truth: typeof first) =>
      JSON.stringify(truth.batches.map(({ samples, peaks }) => [samples, peaks]));
    expect(bare(first)).toBe(bare(again));
    expect([...samplesOf(1)[0].contents]).not.toEqual([...samplesOf(2)[0].contents]);
    for (const batch of first.batches) {
      expect(batch.peaks.some(({ kind }) => kind === "unknown")).toBe(true);
      expect(batch.samples.some(({ value }) => value === 0)).toBe(true);
    }
  }, 30_000);

  it("takes nothing from the toolkit", () => {
    const folder = fileURLToPath(new URL("../score/second-generator", import.meta.url));
    for (const name of readdirSync(folder)) {
      const text = readFileSync(join(folder, name), "utf8");
      for (const [, from] of text.matchAll(/from "([^"]+)"/g))
        expect(from, name).toMatch(/^(\.\/[\w-]+\.js|\.\.\/truth\.js|node:\w+)$/);
    }
  });
});
