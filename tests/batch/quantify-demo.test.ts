import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { quantify } from "../../toolkit/batch/quantify/quantify.js";
import type { Batch, Results, SampleResult } from "../../toolkit/batch/types.js";
import { ion as ionOf } from "../../toolkit/ions/ion-table.js";
import { covariance, type MeasuredValue } from "../../toolkit/uncertainty/measured.js";
import { demoResults } from "./demo-results.js";
import { refusalOf } from "./refusal.js";

// The road-salt batches are invented; truth.json says what the simulator put into every sample.

const folder = new URL("../../datasets/road-salt-in-wells/", import.meta.url);

interface Truth {
  readonly samples: readonly {
    readonly sample: string;
    readonly concentrations: Readonly<Record<string, number>>;
    readonly unknowns: readonly {
      readonly ion: string;
      readonly channel: string;
      readonly microequivalentsPerLiter: number;
    }[];
  }[];
}

const truth: Truth = JSON.parse(readFileSync(new URL("truth.json", folder), "utf8"));
let anions: Batch;
let cations: Batch;
let both: Results;
let alone: Results;

beforeAll(async () => {
  both = await demoResults();
  [anions, cations] = both.batches;
  alone = await quantify(anions);
}, 30_000);

const rowOf = (sample: string, ion: string): SampleResult => {
  const [row, ...others] = both.samples.filter((r) => r.sample === sample && r.ion === ion);
  expect(others).toEqual([]);
  return row;
};

const measuredIn = (sample: string, ion: string): MeasuredValue => {
  const { value } = rowOf(sample, ion);
  if (!value) throw new Error(`${ion} in ${sample} has no value`);
  return value;
};

/** What a and b owe in common, by source. */
function shared(a: MeasuredValue, b: MeasuredValue): Map<string, number> {
  const out = new Map<string, number>();
  a.sources.forEach((source, i) => {
    const k = b.sources.findIndex((s) => s.key === source.key);
    if (k >= 0) out.set(source.key, a.contributions[i] * b.contributions[k]);
  });
  return out;
}

const pairsOf = (results: Results) => results.samples.map((r) => JSON.stringify([r.sample, r.ion])).sort();

describe("the rows of the results", () => {
  it("every sample has every ion of both methods and the one out of scope exactly once", () => {
    const ions = [...anions.method.ions, ...cations.method.ions].map((i) => i.ion);
    expect(ions).toHaveLength(14);
    const names = truth.samples.flatMap((s) =>
      [...ions, "hydrogencarbonate"].map((name) => JSON.stringify([s.sample, name])),
    );
    expect(names).toHaveLength(21 * 15);
    expect(pairsOf(both)).toEqual(names.sort());
  });

  it("one channel alone has its own ions once and nothing of the other channel", () => {
    const names = truth.samples.flatMap((s) =>
      [...anions.method.ions.map((i) => i.ion), "hydrogencarbonate"].map((name) =>
        JSON.stringify([s.sample, name]),
      ),
    );
    expect(pairsOf(alone)).toEqual(names.sort());
    expect(alone.balances).toEqual([]);
    expect(new Set(alone.samples.map((r) => r.channel))).toEqual(new Set(["anion"]));
  });

  it("a value is missing where the ion was not measured, and nowhere else", () => {
    const empty = both.samples.filter((r) => r.value === undefined);
    expect(empty).toHaveLength(21);
    for (const row of empty) {
      expect(row).toMatchObject({ ion: "hydrogencarbonate", status: "not measured", injection: undefined });
    }
    for (const row of both.samples) expect(row.status === "not measured").toBe(row.value === undefined);
  });

  it("neither a duplicate nor a spike makes a row", () => {
    const kinds = new Map([...anions.injections, ...cations.injections].map((i) => [i.id, i.kind] as const));
    const used = both.samples.flatMap((r) => (r.injection === undefined ? [] : [kinds.get(r.injection)]));
    expect(used.length).toBe(21 * 14);
    expect(new Set(used)).toEqual(new Set(["sample"]));
  });

  it("the same channel gives the same numbers alone and in company", () => {
    const numbers = (r: SampleResult) => [r.sample, r.ion, r.value?.value, r.value?.u, r.status];
    const inCompany = both.samples.filter((r) => r.channel === "anion").map(numbers);
    const onItsOwn = alone.samples.map(numbers);
    const bySample = (rows: typeof onItsOwn) => rows.map((r) => JSON.stringify(r)).sort();
    expect(bySample(inCompany)).toEqual(bySample(onItsOwn));
  });
});

describe("what was and was not in the water", () => {
  it("an ion that is absent in truth is never quantified", () => {
    const absent = truth.samples.flatMap((s) =>
      both.samples.filter((r) => r.sample === s.sample && s.concentrations[r.ion] === 0),
    );
    expect(absent.length).toBeGreaterThan(50);
    expect(absent.filter((r) => r.status === "quantified" || r.status === "above range")).toEqual([]);
  });

  it("the peaks no standard holds stay unnamed, in the samples that hold them and in no other", () => {
    const holders = truth.samples.filter((s) => s.unknowns.length > 0).map((s) => s.sample);
    expect(both.unknowns.map((u) => u.name)).toEqual(["unknown-1", "unknown-2"]);
    for (const unknown of both.unknowns) {
      expect(unknown.channel).toBe("anion");
      expect(unknown.seenIn.map((s) => s.sample).sort()).toEqual([...holders].sort());
    }
    const method = new Set([...anions.method.ions, ...cations.method.ions].map((i) => i.ion));
    for (const p of both.peaks) {
      expect(method.has(p.ion) || /^(unknown|system)-\d+$/.test(p.ion)).toBe(true);
    }
  });

  it("the charge of an unknown agrees with truth within its own expanded uncertainty", () => {
    // Formate is a weak acid and elutes first; methanesulfonate is strong.
    for (const { sample, unknowns } of truth.samples.filter((s) => s.unknowns.length > 0)) {
      const found = both.unknowns.map((u) => u.seenIn.find((s) => s.sample === sample)?.microequivalents);
      const expected = unknowns.map((u) => u.microequivalentsPerLiter).sort((a, b) => a - b);
      found
        .sort((a, b) => (a?.value ?? 0) - (b?.value ?? 0))
        .forEach((charge, i) => {
          if (!charge) throw new Error(`no charge in ${sample}`);
          expect(Math.abs(charge.value - expected[i])).toBeLessThan(2 * charge.u);
        });
    }
  });
});

describe("what results share", () => {
  it("two ions of one injection are correlated through the injected volume", () => {
    const [a, b] = [measuredIn("well 3 (12 Mar)", "chloride"), measuredIn("well 3 (12 Mar)", "sulfate")];
    const { injection } = rowOf("well 3 (12 Mar)", "chloride");
    expect(rowOf("well 3 (12 Mar)", "sulfate").injection).toBe(injection);
    const common = shared(a, b).get(`injection ${injection} (anion)`) ?? 0;
    expect(common).toBeGreaterThan(0);
    expect(covariance(a, b)).toBeGreaterThanOrEqual(common);
  });

  it("one ion in two samples is correlated through its curve and its stock, not through noise or injection", () => {
    const [a, b] = [measuredIn("well 1 (12 Mar)", "chloride"), measuredIn("well 3 (12 Mar)", "chloride")];
    const common = shared(a, b);
    // All seven levels were made from one certified stock: its error is one source, not seven.
    const stocks = [...common].filter(([key]) => key.startsWith("stock "));
    expect(stocks.map(([key]) => key)).toEqual(["stock chloride stock A"]);
    expect(stocks[0][1]).toBeGreaterThan(0);
    expect(common.get("curve of chloride (1)")).toBeDefined();
    expect([...common.keys()].filter((key) => /^(noise|integration|injection) /.test(key))).toEqual([]);
    const sum = [...common.values()].reduce((x, y) => x + y, 0);
    expect(covariance(a, b) / sum).toBeCloseTo(1, 9);
    expect(covariance(a, b)).toBeGreaterThan(0);
    expect(covariance(a, b)).toBeLessThan(a.u * b.u);
  });

  it("different ions share neither curve nor stock", () => {
    const common = shared(
      measuredIn("well 1 (12 Mar)", "chloride"),
      measuredIn("well 1 (12 Mar)", "nitrate"),
    );
    expect([...common.keys()].filter((key) => /^(curve|stock|model|noise)/.test(key))).toEqual([]);
  });

  it("the uncertainty of a charge balance counts the correlations, which change it", () => {
    let changed = 0;
    expect(both.balances).toHaveLength(20);
    for (const balance of both.balances) {
      const total = balance.cations.value + balance.anions.value;
      // D = 100 (c − a)/(c + a): +200a/(c + a)² per meq/L of cation, −200c/(c + a)² per meq/L of anion
      const terms = balance.parts.map((p) => ({
        q: p.milliequivalents,
        s: (p.side === "cation" ? 200 * balance.anions.value : -200 * balance.cations.value) / total ** 2,
      }));
      let correlated = 0;
      for (const x of terms) for (const y of terms) correlated += x.s * y.s * covariance(x.q, y.q);
      const apart = Math.sqrt(terms.reduce((sum, { q, s }) => sum + (s * q.u) ** 2, 0));
      expect(balance.percentDifference.u / Math.sqrt(correlated)).toBeCloseTo(1, 3);
      if (Math.abs(balance.percentDifference.u / apart - 1) > 0.02) changed++;
    }
    expect(changed).toBeGreaterThan(0);
  });

  it("a balance covers exactly the samples in mg/L, and each sum is that of its parts", () => {
    expect(both.balances.map((b) => b.sample)).not.toContain("roadside soil (12 Mar)");
    for (const balance of both.balances) {
      for (const side of ["cation", "anion"] as const) {
        const sum = balance.parts
          .filter((p) => p.side === side)
          .reduce((s, p) => s + p.milliequivalents.value, 0);
        expect(sum / (side === "cation" ? balance.cations : balance.anions).value).toBeCloseTo(1, 9);
      }
      for (const p of balance.parts) expect(ionOf(p.ion).charge > 0).toBe(p.side === "cation");
    }
  });
});

describe("what quantify refuses", () => {
  it("two batches of one channel", async () => {
    const fault = await refusalOf(quantify([anions, anions]));
    expect(fault.code).toBe("same-channel");
    expect(fault.message).toContain("anion");
  });

  it("a signal that is no conductivity, by the name of its file", async () => {
    const chromatograms = new Map(anions.chromatograms);
    const [id, first] = [...chromatograms][3];
    chromatograms.set(id, { ...first, signalUnit: "mAU" });
    const fault = await refusalOf(quantify({ ...anions, chromatograms }));
    expect(fault.code).toBe("not-conductivity");
    expect(fault.message).toContain("mAU");
    expect(fault.where?.file).toBe(first.source ?? id);
  });

  it("a batch without standards, and no batch at all", async () => {
    const injections = anions.injections.filter((i) => i.kind !== "calibration");
    expect((await refusalOf(quantify({ ...anions, injections }))).code).toBe("no-calibration");
    expect((await refusalOf(quantify([]))).code).toBe("no-batch");
  });
});

describe("what is said to be below a limit", () => {
  it("could not be above it by what its own trace leaves open, beside a giant neither", async () => {
    const { samples } = await demoResults();
    const below = samples.filter(({ status }) => status === "not detected");
    const beside = below.filter(({ flags }) => flags.includes("limits of this trace"));
    expect(beside.map(({ ion }) => ion)).toEqual(expect.arrayContaining(["ammonium", "nitrite"]));
    for (const { value, detectionLimit = 0, sample, ion } of below) {
      const integration = (value?.budget() ?? []).find(({ source }) => source.startsWith("integration of "));
      // One-sided 95 % (normal), as the limits: Currie 1968.
      const most = (value?.value ?? 0) + 1.645 * (integration?.contribution ?? 0);
      expect(most, `${ion} in ${sample}`).toBeLessThanOrEqual(detectionLimit);
    }
  });
});
