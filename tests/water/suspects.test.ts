import { describe, expect, it } from "vitest";
import { chargeBalance } from "../../toolkit/water/balance/charge-balance.js";
import { asCaCO3, EXAMPLE_WATER, fromMicroequivalents } from "./reference-cases.js";

describe("suspects are a short honest list", () => {
  const causes = (balance: ReturnType<typeof chargeBalance>): readonly string[] =>
    balance.suspects.map(({ cause }) => cause);
  it("alkalinity typed 2.60 instead of 3.20: +0.681 meq/L, +6.8 %, first suspect alkalinity (BALANCE §6)", () => {
    const balance = chargeBalance(EXAMPLE_WATER, { pH: 7.6, alkalinity: asCaCO3(2.6), conductivity: 536 });
    expect(balance.difference.value).toBeCloseTo(0.681, 3);
    expect(balance.percentDifference.value).toBeCloseTo(6.8, 1);
    expect(balance.passed).toBe(false);
    expect(causes(balance)[0]).toBe("alkalinity too low");
  });
  it("no alkalinity at all: hydrogencarbonate first", () => {
    expect(causes(chargeBalance(EXAMPLE_WATER, { pH: 7.6 }))[0]).toBe("hydrogencarbonate not measured");
  });
  it("unidentified anions are weighed against the missing charge", () => {
    const balance = chargeBalance(EXAMPLE_WATER, { pH: 7.6, alkalinity: asCaCO3(2.6), unknownAnions: 0.6 });
    expect(balance.suspects.find(({ cause }) => cause === "unidentified anions")?.why).toContain("88 %");
  });
  it("nitrate given as nitrogen is found by its factor", () => {
    const water = fromMicroequivalents({ sodium: 3000, nitrate: 2000 / 4.4266, chloride: 1000 });
    expect(causes(chargeBalance(water))).toContain("nitrate given as N or the reverse");
  });
  it("a channel diluted ten times more than noted is found by its factor", () => {
    const water = fromMicroequivalents({ sodium: 300, calcium: 200, nitrate: 2000, chloride: 3000 });
    expect(causes(chargeBalance(water))).toContain("dilution of all cations");
  });
  it("rain without a pH: the hydrogen ion, with the pH that would close", () => {
    const water = fromMicroequivalents({ sodium: 10, chloride: 20, nitrate: 20, sulfate: 20 });
    const [first] = chargeBalance(water).suspects;
    expect(first.cause).toBe("hydrogen ion not counted");
    expect(first.why).toContain("4.3");
  });
  it("a computed conductivity far above the measured one puts what is too high first", () => {
    const water = { ...EXAMPLE_WATER, sodium: 69 };
    const balance = chargeBalance(water, { pH: 7.6, alkalinity: asCaCO3(3.2), conductivity: 536 });
    expect(causes(balance)).toContain("a cation is too high");
    expect(causes(balance).indexOf("a cation is too high")).toBeLessThan(
      causes(balance).indexOf("an anion is missing"),
    );
  });
  it("a computed conductivity below the measured one rules out factors that take something away", () => {
    const typed = { pH: 7.6, alkalinity: asCaCO3(2.6) };
    const halved = (balance: ReturnType<typeof chargeBalance>): readonly string[] =>
      balance.suspects
        .filter(({ cause, change }) => cause.startsWith("dilution") && change < 0)
        .map(({ cause }) => cause);
    expect(halved(chargeBalance(EXAMPLE_WATER, typed))).toContain("dilution of magnesium");
    expect(halved(chargeBalance(EXAMPLE_WATER, { ...typed, conductivity: 536 }))).toEqual([]);
  });
  it("text names sums, criteria, suspects and flags", () => {
    const text = String(chargeBalance({ sodium: 23, phosphate: 10 }));
    for (const word of ["cations 1", "meq/L", "failed", "Standard Methods", "suspect", "assumed-pH"])
      expect(text).toContain(word);
  });
});
