import { expect, test } from "vitest";
import { inUnit, measured, minus, over } from "../../toolkit/uncertainty/measured.js";

const chloride = measured(35.45, "mg/L", { u: 0.3545 }, { source: "chloride" });

test("one millimole of chloride is one milliequivalent (molar mass 35.45 g/mol, IUPAC 2021 abridged)", () => {
  const charge = inUnit(chloride, "meq/L", "chloride");
  expect(charge.unit).toBe("meq/L");
  expect(charge.value).toBeCloseTo(1, 3);
  expect(charge.u / charge.value).toBeCloseTo(0.01, 12);
});

test("a converted value stays the same value: there and back leaves no uncertainty in the difference", () => {
  const back = inUnit(inUnit(chloride, "µeq/L", "chloride"), "mg/L", "chloride");
  expect(minus(back, chloride).value).toBeCloseTo(0, 12);
  expect(minus(back, chloride).u).toBeCloseTo(0, 12);
  expect(over(inUnit(chloride, "meq/L", "chloride"), inUnit(chloride, "mmol/L", "chloride")).u).toBeCloseTo(
    0,
    12,
  );
});

test("a unit or an ion that is none is refused by name", () => {
  expect(() => inUnit(chloride, "spoons" as never, "chloride")).toThrow(/spoons/);
  expect(() => inUnit(chloride, "meq/L", "chlorid")).toThrow(/chloride/);
});
