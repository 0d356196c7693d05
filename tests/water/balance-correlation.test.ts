import { describe, expect, it } from "vitest";
import { convert } from "../../toolkit/ions/units.js";
import { type MeasuredValue, measured, monteCarlo, times } from "../../toolkit/uncertainty/measured.js";
import { chargeBalance } from "../../toolkit/water/balance/charge-balance.js";

const full = process.env.IONBOOK_SIZE === "full";
const TRIALS = full ? 20_000 : 1000;

/** An invented water with weak acids, mg/L. */
const CATIONS = { calcium: 62, magnesium: 14, sodium: 23, ammonium: 2 };
const ANIONS = { chloride: 31, nitrate: 18, sulfate: 42, phosphate: 6, acetate: 9 };
const relative = (source: string, u: number): MeasuredValue => measured(1, "1", { u }, { source });

function water(dilution: (side: string) => string): Record<string, MeasuredValue> {
  const side = (ions: Record<string, number>, name: string) =>
    Object.entries(ions).map(([ion, value]): [string, MeasuredValue] => {
      const read = measured(value, "mg/L", { u: 0.006 * value }, { source: `reading of ${ion}` });
      const standard = relative(`working standard, ${name}`, 0.008);
      return [ion, times(times(read, standard), relative(dilution(name), 0.015))];
    });
  return Object.fromEntries([...side(CATIONS, "cations"), ...side(ANIONS, "anions")]);
}

const alkalinity = measured(150, "mg/L as CaCO3", { u: 1.5 }, { source: "titration" });
const pH = measured(7.1, "1", { u: 0.05 }, { source: "pH meter" });

describe("a balance against a Monte Carlo of the same inputs, each drawn once a trial (JCGM 101:2008)", () => {
  it.each([
    ["one dilution of the sample for both channels", () => "dilution"],
    ["a dilution for each channel", (side: string) => `dilution, ${side}`],
  ] as const)(
    "%s: u of the percentage agrees within 9 percent; full size: 2.5 percent, seeds 1, 2, 3, the difference too",
    (_, of) => {
      const given = water(of);
      const balance = chargeBalance(given, { pH, alkalinity });
      const inputs = { ...given, pH, alkalinity };
      const figure =
        (pick: (found: ReturnType<typeof chargeBalance>) => number) => (x: Record<string, number>) => {
          const { pH: at, alkalinity: base, ...ions } = x;
          return pick(chargeBalance(ions, { pH: at, alkalinity: base, criteria: [] }));
        };
      const near = full ? 0.025 : 0.09;
      for (const seed of full ? [1, 2, 3] : [1]) {
        const drawn = monteCarlo(
          figure(({ percentDifference }) => percentDifference.value),
          inputs,
          { trials: TRIALS, seed },
        );
        if (full)
          console.log(
            `seed ${seed}: u of the percentage ${balance.percentDifference.u.toFixed(4)}, drawn ${drawn.u.toFixed(4)}`,
          );
        expect(Math.abs(balance.percentDifference.u / drawn.u - 1)).toBeLessThan(near);
        expect(Math.abs(balance.percentDifference.value - drawn.mean)).toBeLessThan(
          4 * drawn.u * TRIALS ** -0.5 + 0.01,
        );
      }
      if (!full) return;
      const drawn = monteCarlo(
        figure(({ difference }) => difference.value),
        inputs,
        { trials: TRIALS, seed: 1 },
      );
      expect(Math.abs(balance.difference.u / drawn.u - 1)).toBeLessThan(near);
    },
  );

  it("a shared dilution cancels between the channels; the same dilution of two vials does not", () => {
    const shared = chargeBalance(water(() => "dilution"));
    const apart = chargeBalance(water((side) => `dilution, ${side}`));
    const none = chargeBalance(water(() => "no dilution"));
    expect(shared.percentDifference.u).toBeLessThan(apart.percentDifference.u);
    // 100·2·C·A/(C + A)² for each channel: what a relative error of one channel does to the percentage.
    const { cations: C, anions: A } = apart;
    const slope = (200 * C.value * A.value) / (C.value + A.value) ** 2;
    const apartFromShared = Math.sqrt(apart.percentDifference.u ** 2 - shared.percentDifference.u ** 2);
    expect(apartFromShared).toBeCloseTo(slope * 0.015 * Math.SQRT2, 6);
    expect(none.percentDifference.u).toBeCloseTo(shared.percentDifference.u, 12);
  });
});

describe("the arithmetic of JCGM 100:2008, 5.2.2, example: ten resistors against one standard", () => {
  // Ten values of 1000 ± 0.1 from one standard: their sum is uncertain by 10·0.1 = 1.0, not by √10·0.1 = 0.32.
  const TEN = [
    "chloride",
    "nitrate",
    "bromide",
    "iodide",
    "chlorate",
    "perchlorate",
    "bromate",
    "iodate",
    "thiocyanate",
    "periodate",
  ];
  const sum = (source: (ion: string) => string): MeasuredValue =>
    chargeBalance(
      Object.fromEntries(
        TEN.map((ion) => {
          const factor = convert(1, "meq/L", "mg/L", ion);
          return [ion, measured(1000 * factor, "mg/L", { u: 0.1 * factor }, { source: source(ion) })];
        }),
      ),
    ).anions;
  it("n ions against one standard add linearly, n against standards of their own in squares", () => {
    expect(sum(() => "the standard").u).toBeCloseTo(0.1 * TEN.length, 9);
    expect(sum((ion) => `standard of ${ion}`).u).toBeCloseTo(0.1 * Math.sqrt(TEN.length), 9);
  });
  it("a cation and an anion against one standard leave no uncertainty in their difference", () => {
    const one = (ion: string): MeasuredValue => {
      const factor = convert(1, "meq/L", "mg/L", ion);
      return measured(1000 * factor, "mg/L", { u: 0.1 * factor }, { source: "the standard" });
    };
    const balance = chargeBalance({ sodium: one("sodium"), chloride: one("chloride") });
    expect(balance.difference.u).toBeLessThan(1e-12);
  });
});
