import { describe, expect, it } from "vitest";
import { measured } from "../../toolkit/uncertainty/measured.js";
import {
  conductivityAt25,
  conductivityAtTemperature,
  TEMPERATURE_RULES,
} from "../../toolkit/water/conductivity/temperature.js";
import { errorOf } from "./reference-cases.js";

describe("conductivity from one temperature to another", () => {
  it("1.91 % per kelvin (Standard Methods 2510, from memory): 1412 µS/cm at 25 °C are 1277 at 20 °C, and back", () => {
    // The KCl table of OIML R 56 gives 1278 µS/cm at 20 °C for 0.01 mol/L (from memory).
    const cold = conductivityAtTemperature(1412, 20);
    expect(Math.abs(cold - 1278)).toBeLessThan(2);
    expect(conductivityAt25(cold, 20)).toBeCloseTo(1412, 9);
    expect(conductivityAt25(500, 25)).toBe(500);
  });
  it("older tables at 20 °C hold 0.885 of the value at 25 °C (P.J. Stuyfzand, KIWA 1987, read)", () => {
    expect(conductivityAt25(67, 20, "groundwater-20")).toBeCloseTo(75.7, 1);
    expect(conductivityAtTemperature(100, 20, "groundwater-20")).toBeCloseTo(88.5, 10);
    expect(TEMPERATURE_RULES["groundwater-20"].source).toContain("Stuyfzand");
  });
  it("a measured value keeps its sources, a rule of one's own is data", () => {
    const reading = measured(480, "µS/cm", { u: 5 }, { source: "cell" });
    const found = conductivityAt25(reading, 15);
    expect(found.value).toBeCloseTo(480 / 0.809, 9);
    expect(found.budget().map(({ source }) => source)).toEqual(["cell"]);
    expect(found.u / found.value).toBeCloseTo(5 / 480, 12);
    const rule = { source: "this meter's manual", perKelvin: 0.02, from: 5, to: 35 };
    expect(conductivityAt25(90, 20, rule)).toBeCloseTo(100, 12);
  });
  it.each([
    [() => conductivityAt25(100, 70), /^outside-validity: .*0 to 60 °C/],
    [() => conductivityAt25(100, 15, "groundwater-20"), /^outside-validity: .*at 20 °C/],
    [() => conductivityAt25(100, Number.NaN), /^outside-validity/],
    [() => conductivityAt25("100" as never, 20), /^not-a-number/],
    [() => conductivityAt25(100, 20, "linaer" as never), /^unknown-rule: .*"linear"/],
  ])("%#", (run, message) => {
    expect(errorOf(run)).toMatch(message);
  });
});
