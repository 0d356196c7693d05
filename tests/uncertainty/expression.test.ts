import { describe, expect, test } from "vitest";
import { DISPLAY } from "../../toolkit/display.js";
import {
  conciseForm,
  exactly,
  measured,
  monteCarlo,
  over,
  plus,
  readConciseForm,
  times,
} from "../../toolkit/uncertainty/measured.js";
import { published } from "./published.js";

const rounding = published("gum_rounding_and_concise_form");

describe(rounding.title, () => {
  test("value and u end at the second digit of u", () => {
    rounding.inputs.value.forEach((text: string, i: number) => {
      const u = rounding.inputs.u[i];
      const [value, uncertainty] = rounding.expected.rounded[i];
      const decimals = value.split(".")[1].length;
      const digits = uncertainty.replace(/^0\.0*/, "");
      const result = measured(Number(text), "g", { u: Number(u) });
      expect(conciseForm(result)).toBe(`${value}(${digits}) g`);
      expect(String(result).split(" ± ")[0]).toBe(value);
      expect(String(result).split(" ")[2].split(".")[1]).toHaveLength(decimals);
    });
  });

  test("the concise form is read", () => {
    const { value, u } = readConciseForm(rounding.inputs.concise);
    expect([value, u]).toEqual(rounding.expected[`concise_${rounding.inputs.concise}`]);
  });
});

describe("a result in words", () => {
  test.each([
    [10.02, 0.03, "mg/L", "10.02 ± 0.06 mg/L (k = 2.0)"],
    [10.02, 0.0312, "mg/L", "10.020 ± 0.061 mg/L (k = 2.0)"],
    [5, 0.1, "mg/L", "5.00 ± 0.20 mg/L (k = 2.0)"],
    [536.7, 11.6, "mg/kg dry", "537 ± 23 mg/kg dry (k = 2.0)"],
    [5372, 230, "mg/L", "5370 ± 450 mg/L (k = 2.0)"],
    [-0.0004, 0.012, "mg/L", "0.000 ± 0.024 mg/L (k = 2.0)"],
    [1.72662e-5, 1.7555e-6, "1/K", "(1.73 ± 0.34)·10⁻⁵ 1/K (k = 2.0)"],
    [2.5e9, 3.1e7, "1/L", "(2.500 ± 0.061)·10⁹ 1/L (k = 2.0)"],
    [0.982, 0.018, "1", "0.982 ± 0.035 (k = 2.0)"],
  ])("%d with u %d %s is written %s", (value, u, unit, text) => {
    expect(String(measured(value, unit, { u }))).toBe(text);
  });

  test("the factor is that of t where degrees of freedom are few", () => {
    // t.975(9) = 2.262 [handbook example: 536.7, u 11.6, ν 9.5, k 2.26, U 26].
    const result = measured(536.7, "mg/kg dry", { u: 11.6 }, { dof: 9.5 });
    expect(String(result)).toBe("537 ± 26 mg/kg dry (k = 2.3)");
    expect(result.interval().k).toBeCloseTo(2.262, 3);
  });

  test("a value without uncertainty is called exact", () => {
    expect(String(exactly(10))).toBe("10 (exact)");
    expect(String(exactly(0.25, "L"))).toBe("0.25 L (exact)");
  });

  test.each([
    ["10.5(1.2)", 10.5, 1.2],
    ["537(12)", 537, 12],
    ["1.602(3)e-19", 1.602e-19, 3e-22],
    ["-0.17(2)", -0.17, 0.02],
  ])("%s is read as value and u", (text, value, u) => {
    const got = readConciseForm(text);
    expect([got.value, got.u]).toEqual([value, u]);
  });

  test("results show themselves as text where no view is registered, and survive JSON", async () => {
    const result = measured(10.02, "mg/L", { u: 0.03 });
    expect(result.kind).toBe("measured-value");
    expect(await result[DISPLAY]()).toEqual({ "text/plain": "10.02 ± 0.06 mg/L (k = 2.0)" });
    expect(JSON.parse(JSON.stringify(result))).toEqual({
      kind: "measured-value",
      value: 10.02,
      unit: "mg/L",
      u: 0.03,
      dof: "Infinity",
    });
    const trials = monteCarlo((x) => x.a, { a: result }, { trials: 1000, unit: "mg/L" });
    expect(trials.kind).toBe("monte-carlo");
    expect((await trials[DISPLAY]())["text/plain"]).toMatch(/^10\.02 mg\/L, 95 % between .* seed 1\)$/);
  });
});

describe("unit texts", () => {
  const of = (unit: string) => measured(2, unit, { u: 0.1 });

  test.each([
    ["mg/L", "1", "mg/L"],
    ["1", "mg/L", "mg/L"],
    ["mg/L", "L", "mg"],
    ["L", "mg/L", "mg"],
    ["µS/cm", "min", "µS/cm·min"],
    ["mg/L as N", "L", "(mg/L as N)·L"],
  ])("%s times %s is %s", (a, b, product) => {
    expect(times(of(a), of(b)).unit).toBe(product);
  });

  test.each([
    ["mg/L", "1", "mg/L"],
    ["1", "min", "1/min"],
    ["mg", "L", "mg/L"],
    ["mg/L", "mg/L", "1"],
    ["µS/cm·min", "min", "µS/cm"],
    ["mg", "µS/cm", "mg/(µS/cm)"],
  ])("%s over %s is %s", (a, b, quotient) => {
    expect(over(of(a), of(b)).unit).toBe(quotient);
  });

  test("a bare number takes the other's unit in a sum and has none in a product", () => {
    expect(plus(of("mg/L"), 1).unit).toBe("mg/L");
    expect(plus(1, of("mg/L")).unit).toBe("mg/L");
    expect(times(3, of("mg/L")).unit).toBe("mg/L");
    expect(over(1, of("min")).unit).toBe("1/min");
  });
});
