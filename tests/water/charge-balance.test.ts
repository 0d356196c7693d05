import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { convert } from "../../toolkit/ions/units.js";
import {
  correlation,
  exactly,
  fromSources,
  type MeasuredValue,
  measured,
} from "../../toolkit/uncertainty/measured.js";
import { ionicStrength } from "../../toolkit/water/analysis/ionic-strength.js";
import { chargeBalance } from "../../toolkit/water/balance/charge-balance.js";
import { speciate } from "../../toolkit/water/speciation/speciation.js";
import { asCaCO3, EXAMPLE_WATER, errorOf, fromMicroequivalents } from "./reference-cases.js";

describe("the handbook's example water (BALANCE §2 and §3, computed for the handbook)", () => {
  const balance = chargeBalance(EXAMPLE_WATER, { pH: 7.6, alkalinity: asCaCO3(3.2) });
  it("sums 5.3285 and 5.2470 meq/L, difference +0.0814 meq/L, +0.77 %", () => {
    expect(Math.abs(balance.cations.value - 5.3285)).toBeLessThan(2e-4);
    expect(Math.abs(balance.anions.value - 5.247)).toBeLessThan(2e-4);
    expect(Math.abs(balance.difference.value - 0.0814)).toBeLessThan(2e-4);
    expect(balance.percentDifference.value).toBeCloseTo(0.77, 2);
    expect(balance.percentDifference.unit).toBe("%");
    expect(balance.cations.unit).toBe("meq/L");
  });
  it("has each ion's charge as printed", () => {
    const printed = {
      calcium: 3.094,
      magnesium: 1.152,
      sodium: 1.0004,
      potassium: 0.0793,
      chloride: 0.8744,
      nitrate: 0.2903,
      sulfate: 0.8745,
      fluoride: 0.0079,
      hydrogencarbonate: 3.2,
    };
    for (const [name, value] of Object.entries(printed)) {
      const part = balance.parts.find(({ ion }) => ion === name);
      expect(Math.abs((part?.milliequivalents.value ?? Number.NaN) - value)).toBeLessThan(1.1e-4);
    }
  });
  it("has the ionic strength 0.00785 mol/L", () => {
    expect(balance.ionicStrength).toBeCloseTo(0.00785, 4);
    expect(ionicStrength(EXAMPLE_WATER, { pH: 7.6, alkalinity: asCaCO3(3.2) })).toBe(balance.ionicStrength);
  });
  it("passes every criterion that applies and raises no suspect", () => {
    // Standard Methods 1030 E, practice of several laboratories, a Dutch protocol: without uncertainties no E.
    expect(balance.criteria.map(({ passed }) => passed)).toEqual([true, true, true]);
    expect(balance.passed).toBe(true);
    expect(balance.suspects).toEqual([]);
  });
});

describe("uncertainty keeps what the ions share (UNCERTAINTY §8, computed for the handbook, Monte Carlo agrees)", () => {
  // Private 1 % (cations) and 0.8 % (anions), certificates 0.2 %, working standard 0.8 % a channel, common dilution 1 %.
  const water = (standard: (side: string) => string, certificates = true): Record<string, MeasuredValue> => {
    const cations = new Set(["calcium", "magnesium", "sodium", "potassium", "ammonium"]);
    return Object.fromEntries(
      Object.entries(EXAMPLE_WATER).map(([name, value]) => {
        const side = cations.has(name) ? "cation" : "anion";
        const sources = [
          { source: `reading of ${name}`, contribution: (side === "cation" ? 0.01 : 0.008) * value },
          ...(certificates ? [{ source: `certificate of ${name}`, contribution: 0.002 * value }] : []),
          { source: standard(side), contribution: 0.008 * value },
          { source: "sample dilution", contribution: 0.01 * value },
        ];
        return [name, fromSources(value, "mg/L", sources)];
      }),
    );
  };
  const alkalinity = measured(asCaCO3(3.2), "mg/L", { u: asCaCO3(0.02) }, { source: "titration" });
  const perChannel = chargeBalance(
    water((side) => `working standard, ${side}s`),
    { pH: 7.6, alkalinity },
  );
  it("u of the sums 0.0768 and 0.0346, of the difference 0.0701 meq/L, of the percentage 0.66", () => {
    expect(perChannel.cations.u).toBeCloseTo(0.0768, 4);
    expect(perChannel.anions.u).toBeCloseTo(0.0346, 4);
    expect(perChannel.difference.u).toBeCloseTo(0.0701, 4);
    expect(perChannel.percentDifference.u).toBeCloseTo(0.66, 2);
  });
  it("the difference is 1.16 of its uncertainty and passes", () => {
    expect(perChannel.normalizedDifference).toBeCloseTo(1.16, 2);
    expect(perChannel.criteria[0].passed).toBe(true);
    expect(perChannel.criteria[0].source).toContain("its own uncertainty");
  });
  it("correlations: Ca with Na 0.61, Cl with SO4 0.71, Ca with Cl 0.40", () => {
    const part = (name: string): MeasuredValue => {
      const found = perChannel.parts.find(({ ion }) => ion === name);
      if (!found) throw new Error(`no part ${name}`);
      return found.milliequivalents;
    };
    expect(correlation(part("calcium"), part("sodium"))).toBeCloseTo(0.61, 2);
    expect(correlation(part("chloride"), part("sulfate"))).toBeCloseTo(0.71, 2);
    expect(correlation(part("calcium"), part("chloride"))).toBeCloseTo(0.4, 2);
  });
  it("one standard for both channels lowers u of the percentage to 0.55", () => {
    const shared = chargeBalance(
      water(() => "working standard", false),
      { pH: 7.6, alkalinity },
    );
    expect(shared.percentDifference.u).toBeCloseTo(0.55, 2);
  });
  it("a relative error common to all ions cancels in the percentage", () => {
    const common = (value: number) =>
      fromSources(value, "mg/L", [{ source: "dilution", contribution: 0.03 * value }]);
    const balance = chargeBalance({
      sodium: common(23),
      chloride: common(35),
      calcium: common(10),
      nitrate: common(31),
    });
    expect(balance.cations.u / balance.cations.value).toBeCloseTo(0.03, 10);
    expect(balance.percentDifference.u).toBeLessThan(1e-9);
  });
  it("a pH with uncertainty moves a weak acid's charge: phosphate at pH 7 by (z̄ at 7.01 − z̄ at 6.99)/0.02 per pH unit", () => {
    const charge = (pH: number | MeasuredValue): MeasuredValue => {
      const found = chargeBalance({ phosphate: 10, sodium: 5 }, { pH }).parts.find(
        ({ ion }) => ion === "phosphate",
      );
      return found?.milliequivalents ?? exactly(0);
    };
    const slope = (charge(7.01).value - charge(6.99).value) / 0.02;
    expect(slope).toBeGreaterThan(0.04);
    expect(charge(measured(7, "1", { u: 0.05 })).u).toBeCloseTo(0.05 * slope, 6);
  });
  it("a pH with uncertainty brings it into the hydrogen ion: ln 10·u(pH) relative", () => {
    const rain = fromMicroequivalents({ sodium: 14.2, chloride: 17, nitrate: 13 });
    const balance = chargeBalance(rain, { pH: measured(4.82, "1", { u: 0.05 }, { source: "pH meter" }) });
    const part = balance.parts.find(({ ion }) => ion === "hydrogen")?.milliequivalents ?? exactly(0);
    expect(part.u / part.value).toBeCloseTo(Math.LN10 * 0.05, 3);
    expect(balance.cations.u).toBeCloseTo(part.u, 10);
  });
});

describe("weak acids and bases carry their charge at the pH", () => {
  const charge = (name: string, options: Parameters<typeof chargeBalance>[1]): number => {
    const balance = chargeBalance({ [name]: convert(0.001, "mmol/L", "mg/L", name), sodium: 1e-3 }, options);
    return 1000 * (balance.parts.find(({ ion }) => ion === name)?.milliequivalents.value ?? Number.NaN);
  };
  // Mean charges of BALANCE §4 (computed for the handbook, ionic strength 0).
  it.each([
    ["phosphate", 7, 1.383],
    ["phosphate", 8, 1.861],
    ["phosphate", 4.5, 0.997],
    ["citrate", 4.5, 1.33],
    ["oxalate", 4.5, 1.63],
    ["fluoride", 4.5, 0.954],
  ] as const)("%s at pH %d carries %d", (name, pH, expected) => {
    expect(Math.abs(charge(name, { pH }) - expected)).toBeLessThan(0.01);
  });
  it("ammonium at pH 8 has lost 5.3 %", () => {
    expect(charge("ammonium", { pH: 8 })).toBeCloseTo(0.947, 2);
  });
  it("without a pH they are taken at 7, and the result says so", () => {
    expect(charge("phosphate", {})).toBeCloseTo(1.383, 2);
    expect(chargeBalance({ phosphate: 1, sodium: 1 }).flags).toContain("assumed-pH");
    expect(chargeBalance({ ammonium: 1, chloride: 1 }).flags).toContain("assumed-pH");
    expect(chargeBalance({ phosphate: 1, sodium: 1 }, { pH: 7 }).flags).not.toContain("assumed-pH");
    expect(chargeBalance({ chloride: 1, sodium: 1 }).flags).toEqual([]);
  });
  it("hydroxide is counted above pH 9 only, and not beside a given one", () => {
    const parts = (pH: number, more = {}): readonly string[] =>
      chargeBalance({ sodium: 10, chloride: 10, ...more }, { pH }).parts.map(({ ion }) => ion);
    expect(parts(8.9)).not.toContain("hydroxide");
    expect(parts(10)).toContain("hydroxide");
    const given = chargeBalance({ sodium: 10, hydroxide: 1 }, { pH: 11 });
    expect(given.anions.value).toBeCloseTo(1 / 17.007, 9);
  });
});

describe("alkalinity", () => {
  const anions = (
    concentrations: Record<string, number>,
    options: Parameters<typeof chargeBalance>[1],
  ): number => chargeBalance(concentrations, options).anions.value;
  it("counts where no hydrogencarbonate is given, and not beside it", () => {
    expect(anions({ sodium: 23 }, { pH: 7.6, alkalinity: 50.043 })).toBeCloseTo(1, 4);
    expect(anions({ sodium: 23, hydrogencarbonate: 30.508 }, { pH: 7.6, alkalinity: 50.043 })).toBeCloseTo(
      0.5,
      9,
    );
  });
  it("a carbonate given beside it is part of it", () => {
    const balance = chargeBalance({ sodium: 23, carbonate: 6 }, { pH: 8.5, alkalinity: 50.043 });
    expect(balance.anions.value).toBeCloseTo(1, 3);
    expect(balance.flags).toContain("carbonate-in-alkalinity");
  });
  it("does not count the bases twice that a titration counts: phosphate, acetate, ammonia, borate, silicate", () => {
    for (const name of ["phosphate", "acetate", "ammonium", "borate", "silicate"]) {
      const pH = 9;
      const water = { sodium: 23, [name]: convert(0.1, "mmol/L", "mg/L", name) };
      const balance = chargeBalance(water, { pH, alkalinity: 50.043 });
      const own = balance.parts.find(({ ion }) => ion === name)?.milliequivalents.value ?? Number.NaN;
      const carbonate =
        balance.parts.find(({ ion }) => ion === "hydrogencarbonate")?.milliequivalents.value ?? Number.NaN;
      // At the zero level of protons phosphate still carries one charge, ammonia is ammonium, the others are neutral.
      const taken = name === "phosphate" ? own - 0.1 : name === "ammonium" ? 0.1 - own : own;
      expect(taken).toBeGreaterThan(0.01);
      expect(carbonate + taken).toBeCloseTo(1, 4);
    }
  });
  it("pH 7.60 and 3.20 meq/L give 3.188 hydrogencarbonate and 0.012 carbonate (BALANCE §4, ideal solution)", () => {
    const parts = speciate("carbonate", 7.6);
    const equivalents = parts.hydrogencarbonate + 2 * parts.carbonate;
    expect((3.2 * parts.hydrogencarbonate) / equivalents).toBeCloseTo(3.188, 3);
    expect((3.2 * 2 * parts.carbonate) / equivalents).toBeCloseTo(0.012, 3);
    expect(3.2 / equivalents).toBeCloseTo(3.37, 2);
  });
  it("an alkalinity of zero or one used up by other bases adds nothing and says so", () => {
    const zero = chargeBalance({ sodium: 1, chloride: 1 }, { pH: 4.2, alkalinity: 0 });
    expect(zero.flags).toContain("alkalinity-used-up");
    expect(zero.anions.value).toBeCloseTo(1 / 35.45, 12);
    const organic = chargeBalance({ sodium: 23, acetate: 59.044 }, { pH: 7, alkalinity: 10 });
    expect(organic.flags).toContain("alkalinity-used-up");
    expect(organic.anions.value).toBeCloseTo(0.994, 2);
  });
});

describe("laws", () => {
  const names = ["sodium", "calcium", "potassium", "chloride", "sulfate", "nitrate"] as const;
  const amounts = fc.tuple(...names.map(() => fc.double({ min: 1e-3, max: 1e3, noNaN: true })));
  it("scaling all ions scales the sums and leaves the percentage; swapping sides turns its sign", () => {
    fc.assert(
      fc.property(amounts, fc.double({ min: 0.1, max: 10, noNaN: true }), (values, factor) => {
        const water = Object.fromEntries(names.map((name, i) => [name, values[i]]));
        const scaled = Object.fromEntries(names.map((name, i) => [name, factor * values[i]]));
        const [a, b] = [chargeBalance(water), chargeBalance(scaled)];
        expect(b.cations.value / a.cations.value / factor).toBeCloseTo(1, 10);
        expect(b.percentDifference.value).toBeCloseTo(a.percentDifference.value, 8);
      }),
      { seed: 1, numRuns: 100 },
    );
  });
  it("inputs are not written", () => {
    const water = Object.freeze({ sodium: 1, chloride: 2 });
    chargeBalance(water, Object.freeze({ pH: 7 }));
    expect(water).toEqual({ sodium: 1, chloride: 2 });
  });
});

describe("misuse is refused in words", () => {
  it.each([
    [() => chargeBalance({ natrium: 1 }), /^unknown-ion/],
    [() => chargeBalance({ sodium: 1, "Na+": 2 }), /^duplicate-ion: .*sodium/],
    [() => chargeBalance({ sodium: -1 }), /^negative-concentration: .*sodium/],
    [() => chargeBalance({ sodium: Number.NaN }), /^not-a-number: .*sodium/],
    [() => chargeBalance({ sodium: 1 }, { pH: 70 }), /^bad-pH/],
    [() => chargeBalance({ sodium: 1 }, { alkalinity: Number.NaN }), /^not-a-number: .*alkalinity/],
    [() => chargeBalance({}), /^nothing-to-balance/],
    [() => chargeBalance({ sodium: 0 }), /^nothing-to-balance/],
    [() => chargeBalance({ sodium: measured(1, "mS", { u: 0.1 }) }), /^unit-mismatch: .*sodium.*mS/],
  ])("%#", (run, message) => {
    expect(errorOf(run)).toMatch(message);
  });
  it("a measured value in another unit is converted", () => {
    const balance = chargeBalance({ sodium: measured(1, "meq/L", { u: 0.01 }), chloride: 35.45 });
    expect(balance.cations.value).toBeCloseTo(1, 12);
    expect(balance.cations.u).toBeCloseTo(0.01, 12);
  });
});
