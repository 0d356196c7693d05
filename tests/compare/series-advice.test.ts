import { describe, expect, test } from "vitest";
import { compareSeries } from "../../toolkit/compare/compare-series.js";
import type { AnyDesignOptions } from "../../toolkit/compare/comparison-options.js";
import { makeSeries, type Series, type Visit } from "../../toolkit/compare/series.js";
import { IonbookError } from "../../toolkit/errors.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import { DAYS, seriesOf } from "./invented-series.js";

const WELL = seriesOf("well 3", [24, 27, 27, 38, 38, 38]);
const SPRING = seriesOf("spring", [20, 22, 21, 24, 22, 23]);
const BAC = { design: "before-after-control" } as const;

function changed(series: Series, at: number, how: Partial<Visit>): Series {
  return makeSeries({
    ...series,
    visits: series.visits.map((visit, i) => (i === at ? { ...visit, ...how } : visit)),
  });
}

function refusal(call: () => unknown): IonbookError {
  try {
    call();
  } catch (error) {
    if (error instanceof IonbookError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}

describe("a wrong call reads like advice", () => {
  const any = compareSeries as (a: Series, b: Series | AnyDesignOptions, c?: AnyDesignOptions) => unknown;
  test.each<[string, RegExp, () => unknown]>([
    [
      "not-measured",
      /"well 3 2".*makeSeries/,
      () => compareSeries(changed(WELL, 1, { value: undefined, status: "not measured" }), SPRING, BAC),
    ],
    [
      "missing-date",
      /"well 3 1".*collected_at/,
      () => compareSeries(changed(WELL, 0, { collectedAt: undefined }), SPRING, BAC),
    ],
    [
      "bad-date",
      /"17 Feb".*2026-02-14/,
      () => compareSeries(changed(WELL, 0, { collectedAt: "17 Feb" }), SPRING, BAC),
    ],
    [
      "missing-period",
      /no period.*change: "2026-03-01"/,
      () => compareSeries(changed(WELL, 0, { period: undefined }), SPRING, BAC),
    ],
    [
      "missing-period",
      /the period "thaw"/,
      () => compareSeries(changed(WELL, 0, { period: "thaw" }), SPRING, BAC),
    ],
    [
      "bad-period",
      /2026-03-14.*later/,
      () => compareSeries(changed(WELL, 5, { period: "before" }), { design: "before-after" }),
    ],
    ["bad-period", /well 3.*spring/, () => compareSeries(changed(WELL, 2, { period: "after" }), SPRING, BAC)],
    [
      "unpaired-days",
      /2026-02-18 \(well 3\), 2026-02-17 \(spring\).*leave out/,
      () => compareSeries(changed(WELL, 0, { collectedAt: "2026-02-18" }), SPRING, BAC),
    ],
    [
      "one-visit",
      /a single visit before.*analytical only/,
      () => compareSeries(WELL, SPRING, { ...BAC, change: "2026-02-19" }),
    ],
    ["no-visits", /no visit before/, () => compareSeries(WELL, SPRING, { ...BAC, change: "2026-01-01" })],
    [
      "no-visits",
      /no sample/,
      () => compareSeries(makeSeries({ ...WELL, visits: [] }), { design: "before-after" }),
    ],
    ["no-scatter", /compared with itself/, () => compareSeries(WELL, WELL, BAC)],
    [
      "unit-mismatch",
      /mg\/L.*µg\/L/,
      () => compareSeries(WELL, seriesOf("spring", [20, 22, 21, 24, 22, 23], DAYS, "µg/L"), BAC),
    ],
    [
      "ion-mismatch",
      /chloride and of sulfate/,
      () => compareSeries(WELL, makeSeries({ ...SPRING, ion: "sulfate" }), BAC),
    ],
    [
      "unknown-design",
      /choose one of before-after-control/,
      () => any(WELL, SPRING, { design: "guess" as "paired" }),
    ],
    ["unknown-design", /takes one series/, () => any(WELL, SPRING, { design: "before-after" })],
    ["unknown-design", /needs its design/, () => any(WELL, SPRING)],
    ["missing-control", /needs two series/, () => any(WELL, { design: "paired" })],
    ["bad-level", /0\.95/, () => compareSeries(WELL, SPRING, { ...BAC, level: 95 })],
    ["bad-power", /0\.5/, () => compareSeries(WELL, SPRING, { ...BAC, power: 1 })],
    ["bad-margin", /would not matter/, () => compareSeries(WELL, SPRING, { ...BAC, margin: 0 })],
  ])("%s %s", (code, advice, call) => {
    const error = refusal(call);
    expect(error.code).toBe(code);
    expect(error.message).toMatch(advice);
  });

  test("a value in another unit than its series is refused when the series is made", () => {
    const value = measured(1, "mmol/L", { u: 0.1 });
    expect(refusal(() => changed(WELL, 0, { value })).code).toBe("unit-mismatch");
  });
});

test("days at one place only are left out where asked for, and named", () => {
  const extra: Visit = { ...WELL.visits[0], sample: "extra", collectedAt: "2026-03-20", period: "after" };
  const well = makeSeries({ ...WELL, visits: [...WELL.visits, extra] });
  const result = compareSeries(well, SPRING, { ...BAC, unpaired: "leave out" });
  expect(result.effect.value).toBeCloseTo(10, 10);
  expect(result.notes).toEqual(["left out, visited at one place only: 2026-03-20 (well 3)"]);
});

test("one visit in a period compares the bottles alone where asked for, and says what is unknown", () => {
  const result = compareSeries(WELL, SPRING, { ...BAC, change: "2026-02-19", oneVisit: "analytical only" });
  // 12 results, each ± 0.01, in means of 1 and of 5 days at two places.
  expect(result.effect.u).toBeCloseTo(0.01 * Math.sqrt(2 + 2 / 5), 10);
  expect(result.permutation).toBeUndefined();
  expect(String(result)).toContain("scatter between visits is unknown");
});

test("results below their critical value take part with their raw values and are named", () => {
  const value = measured(-0.02, "mg/L", { u: 0.01 });
  const spring = changed(SPRING, 0, { value, status: "not detected" });
  const result = compareSeries(WELL, spring, BAC);
  expect(result.places[1].days[0].value.value).toBe(-0.02);
  expect(result.notes).toEqual(["not detected, raw values used: spring 1"]);
});

test("two samples of one day are one visit, their mean", () => {
  const [first, ...rest] = WELL.visits;
  const twin = (sample: string, x: number): Visit => ({
    ...first,
    sample,
    value: measured(x, "mg/L", { u: 0.01 }),
  });
  const well = makeSeries({ ...WELL, visits: [twin("a", 23), twin("b", 25), ...rest] });
  const result = compareSeries(well, SPRING, BAC);
  expect(result.effect.value).toBeCloseTo(10, 10);
  expect(result.places[0].days[0].samples).toEqual(["a", "b"]);
});

test("a series stands in the order of time and says what it holds", () => {
  const shuffled = makeSeries({ ...WELL, visits: WELL.visits.toReversed() });
  expect(shuffled.visits.map(({ sample }) => sample)).toEqual(WELL.visits.map(({ sample }) => sample));
  expect(String(shuffled).split("\n").slice(0, 2)).toEqual([
    "chloride at well 3, 6 samples",
    "  2026-02-17 (before)  well 3 1: 24.000 ± 0.020 mg/L (k = 2.0)",
  ]);
});
