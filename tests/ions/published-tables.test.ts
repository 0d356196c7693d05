import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { acidSystem } from "../../toolkit/ions/acid-systems.js";
import { atomicWeight } from "../../toolkit/ions/atomic-weights.js";
import { limitingDiffusionCoefficient } from "../../toolkit/ions/diffusion.js";
import { molarMassOf, parseFormula } from "../../toolkit/ions/formula.js";
import { allIons, ion } from "../../toolkit/ions/ion-table.js";

interface Case {
  readonly id: string;
  readonly what: string;
  readonly source: string;
  readonly provenance: string;
  readonly expected: unknown;
  readonly tolerance: {
    readonly abs?: number;
    readonly rel?: number;
    readonly per_key?: Record<string, { readonly abs?: number; readonly rel?: number }>;
  };
  readonly inputs: unknown;
  readonly recomputed: { readonly values: unknown };
}

const cases: readonly Case[] = JSON.parse(
  readFileSync(new URL("../reference/t11_reference_tables.json", import.meta.url), "utf8"),
);

function published(id: string): Case {
  const found = cases.find((each) => each.id === id);
  if (!found) throw new Error(`there is no case ${id}`);
  return found;
}

/** One claim for each number of a case, with source and provenance in the title of the group. */
function compare(id: string, compute: (key: string, of: Case) => number | undefined): void {
  const of = published(id);
  describe(`${of.what} Source: ${of.source} (${of.provenance})`, () => {
    const expected = of.expected as Record<string, number>;
    it.each(Object.keys(expected))("%s", (key) => {
      const { abs = 0, rel = 0 } = of.tolerance.per_key?.[key] ?? of.tolerance;
      const value = compute(key, of);
      expect(value).toBeDefined();
      expect(Math.abs((value as number) - expected[key])).toBeLessThanOrEqual(
        Math.max(abs, rel * Math.abs(expected[key])),
      );
    });
  });
}

const perEquivalent = (name: string): number | undefined => {
  const { limitingMolarConductivity, charge } = ion(name);
  return limitingMolarConductivity === undefined ? undefined : limitingMolarConductivity / Math.abs(charge);
};

compare("atomic_weights_2021_a", (symbol) => atomicWeight(symbol));
compare("ion_molar_masses_a", (name) => ion(name).molarMass);
compare("ion_molar_masses_handbook", (name) => ion(name).molarMass);
compare("ionic_conductivity_inorganic_a", perEquivalent);
compare("ionic_conductivity_organic_a", perEquivalent);
compare("ionic_conductivity_organic_marcus", perEquivalent);
compare("nernst_einstein_diffusion", (name) => {
  const found = limitingDiffusionCoefficient(ion(name));
  return found === undefined ? undefined : found * 1e5;
});

describe("molar masses follow from any formula of the published sums", () => {
  const of = published("ion_molar_masses_a");
  const { formulas } = of.inputs as { formulas: Record<string, string> };
  it.each(Object.entries(formulas))("%s as %s", (name, formula) => {
    expect(molarMassOf(parseFormula(formula).elements)).toBeCloseTo(
      (of.expected as Record<string, number>)[name],
      9,
    );
  });
});

describe("charges in the published conductivity tables are those of the ion table", () => {
  for (const id of [
    "ionic_conductivity_inorganic_a",
    "ionic_conductivity_organic_a",
    "nernst_einstein_diffusion",
  ]) {
    const { charge } = published(id).inputs as { charge: Record<string, number> };
    it(id, () => {
      for (const [name, size] of Object.entries(charge))
        expect([name, Math.abs(ion(name).charge)]).toEqual([name, size]);
    });
  }
});

describe("acid constants", () => {
  const of = published("pka_25C_a");
  const systems: Readonly<Record<string, string>> = {
    formic: "formate",
    acetic: "acetate",
    butyric: "butyrate",
    lactic: "lactate",
    malonic: "malonate",
    succinic: "succinate",
    "tartaric (L)": "tartrate",
    citric: "citrate",
    benzoic: "benzoate",
    "o-phthalic": "phthalate",
    carbonic: "carbonate",
    hydrogensulfate: "sulfate",
    ammonium: "ammonium",
    methylammonium: "methylammonium",
    trimethylammonium: "trimethylammonium",
    boric: "borate",
    "hydrogen sulfide (first)": "hydrogensulfide",
    sulfurous: "sulfite",
    hydrogenchromate: "chromate",
  };
  it.each(Object.entries(of.expected as Record<string, readonly number[]>))(
    `%s: ${of.source} (${of.provenance})`,
    (acid, expected) => {
      const found = ion(systems[acid]).acidConstants ?? [];
      expect(found.length).toBe(expected.length);
      const { abs = 0 } = of.tolerance.per_key?.[acid] ?? of.tolerance;
      expected.forEach((pKa, step) => {
        expect(Math.abs(found[step] - pKa)).toBeLessThanOrEqual(abs);
      });
    },
  );

  it("oxalate uses the second constant of low ionic strength and says that 3.81 is widely copied", () => {
    const { expected, recomputed } = published("pka_disputed");
    const second = ion("oxalate").acidConstants?.[1] as number;
    expect(Math.abs(second - (recomputed.values as { oxalic: number[] }).oxalic[1])).toBeLessThan(0.05);
    expect(Math.abs(second - (expected as { oxalic: number[] }).oxalic[1])).toBeGreaterThan(0.4);
    expect(ion("oxalate").notes.join(" ")).toContain("3.81");
  });

  it("every form of every acid is one proton and one charge from its neighbour", () => {
    const seen = new Set<string>();
    for (const each of allIons()) {
      const system = acidSystem(each.name);
      if (!system || seen.has(system.name)) continue;
      seen.add(system.name);
      expect([system.name, system.pKa.length]).toEqual([system.name, system.forms.length - 1]);
      for (let i = 1; i < system.forms.length; i++) {
        expect(system.forms[i].charge).toBe(system.forms[i - 1].charge - 1);
        const lost = { ...parseFormula(system.forms[i - 1].formula).elements };
        for (const [symbol, count] of Object.entries(parseFormula(system.forms[i].formula).elements)) {
          lost[symbol] = (lost[symbol] ?? 0) - count;
        }
        // B(OH)3 takes up OH⁻ instead of giving off H⁺: the same step with one water more.
        const expected = system.name === "borate" ? { O: -1, H: -1 } : { H: 1 };
        expect(Object.fromEntries(Object.entries(lost).filter(([, count]) => count !== 0))).toEqual(expected);
      }
      for (let i = 1; i < system.pKa.length; i++) expect(system.pKa[i]).toBeGreaterThan(system.pKa[i - 1]);
    }
    expect(seen.size).toBeGreaterThan(40);
  });
});

describe("disputed conductivities are marked and lie within the span of the compilations", () => {
  const of = published("ionic_conductivity_disputed");
  const first = (of.expected as { crc_recent: Record<string, number> }).crc_recent;
  const second = (of.recomputed.values as { crc_recent: Record<string, number> }).crc_recent;
  it.each(Object.keys(first))(`%s: ${of.source} (${of.provenance})`, (name) => {
    const value = perEquivalent(name) as number;
    expect(value).toBeGreaterThanOrEqual(Math.min(first[name], second[name]));
    expect(value).toBeLessThanOrEqual(Math.max(first[name], second[name]));
    expect(ion(name).notes.length).toBeGreaterThan(0);
  });

  it("methanesulfonate states which of the two published values is used", () => {
    expect(ion("methanesulfonate").notes.join(" ")).toMatch(/48\.8.*45\.9/);
  });

  it("phosphates and hydrogensulfate are within 5 % of diffusion data: 31.8, 51.8, 68.9 and 49.9 per equivalent", () => {
    // Nernst–Einstein from the USGS database phreeqc.dat, as the note of the disputed case and the handbook state.
    const diffusion = { "H2PO4-": 31.8, "HPO4 2-": 51.8, "PO4 3-": 68.9, "HSO4-": 49.9 };
    for (const [name, value] of Object.entries(diffusion)) {
      expect(Math.abs((perEquivalent(name) as number) / value - 1)).toBeLessThan(0.05);
    }
  });
});

describe("every number states its source", () => {
  it("molar mass, conductivity and acid constants of each ion", () => {
    for (const each of allIons()) {
      expect(each.sources.molarMass).toContain("Prohaska");
      expect(each.limitingMolarConductivity === undefined).toBe(
        each.sources.limitingMolarConductivity === undefined,
      );
      expect(each.acidConstants === undefined).toBe(each.sources.acidConstants === undefined);
      for (const text of Object.values(each.sources)) expect(text).toMatch(/\[.+\]/);
    }
  });
});
