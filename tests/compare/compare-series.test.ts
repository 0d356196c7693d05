import { readFileSync } from "node:fs";
import { tTestTwoSample } from "simple-statistics";
import { describe, expect, test } from "vitest";
import { compareSeries } from "../../toolkit/compare/compare-series.js";
import { DISPLAY } from "../../toolkit/display.js";
import { measured, times } from "../../toolkit/uncertainty/measured.js";
import { DAYS, daysFor, seriesOf } from "./invented-series.js";

interface Case {
  readonly id: string;
  readonly inputs: { readonly a: readonly number[]; readonly b: readonly number[] };
  readonly expected: Readonly<Record<string, number>>;
}

const CASES = JSON.parse(
  readFileSync(new URL("../reference/t10_qc_comparison.json", import.meta.url), "utf8"),
) as readonly Case[];

function reference(id: string): Case {
  const found = CASES.find((each) => each.id === id);
  if (found === undefined) throw new Error(`no case ${id}`);
  return found;
}

// Values computed once with scipy.stats.ttest_rel, as the handbook of this project prints them.
describe("six places before and after, paired [worked example: mean −0.95, s 0.550, t −4.23, ν 5, p 0.0083]", () => {
  const before = [12.1, 15.4, 9.8, 14.2, 11.0, 13.3];
  const after = [11.2, 14.1, 9.5, 12.6, 10.7, 12.0];
  const days = daysFor(6, 6);
  const result = compareSeries(seriesOf("after", after, days), seriesOf("before", before, days), {
    design: "paired",
  });

  test("mean, t, degrees of freedom and p", () => {
    expect(result.effect.value).toBeCloseTo(-0.95, 10);
    expect(result.effect.u * Math.sqrt(6)).toBeCloseTo(0.55, 3);
    expect(result.t).toBeCloseTo(-4.23, 2);
    expect(result.dof).toBeCloseTo(5, 9);
    expect(result.p).toBeCloseTo(0.0083, 4);
    expect(result.verdict).toBe("lower");
  });

  test("the interval is −1.53 to −0.37", () => {
    expect(result.interval.low).toBeCloseTo(-1.53, 2);
    expect(result.interval.high).toBeCloseTo(-0.37, 2);
  });

  test("regrouping gives the smallest p that six pairs can give, 0.031", () => {
    expect(result.permutation).toEqual({ p: 2 / 64, regroupings: 64, smallestP: 2 / 64 });
  });

  test("the smallest difference is (t.975 + t.8)·SE with the printed quantiles of five degrees of freedom", () => {
    // t tables: 2.571 and 0.920 at ν = 5, each rounded by up to 0.0005.
    expect(Math.abs(result.smallestDifference / result.effect.u - (2.571 + 0.92))).toBeLessThan(0.001);
  });
});

test("ten batches by two methods, paired [Miller and Miller, paracetamol; t10 of the reference cases]", () => {
  const { inputs, expected } = reference("miller_paired_paracetamol");
  const days = daysFor(10, 10);
  const result = compareSeries(seriesOf("a", inputs.a, days), seriesOf("b", inputs.b, days), {
    design: "paired",
  });
  expect(result.effect.value).toBeCloseTo(expected.mean_difference, 6);
  expect(result.t).toBeCloseTo(expected.t, 2);
  expect(Math.abs(result.p - expected.p)).toBeLessThan(6e-5);
  expect(result.interval.k).toBeCloseTo(expected.t_crit, 2);
  expect(result.verdict).toBe("no difference shown");
});

test("two groups of unequal scatter, independent [Miller and Miller, thiol; t10 of the reference cases]", () => {
  const { inputs, expected } = reference("miller_welch_thiol");
  const result = compareSeries(
    seriesOf("b", inputs.b, daysFor(6, 6)),
    seriesOf("a", inputs.a, daysFor(7, 7)),
    { design: "independent" },
  );
  expect(Math.abs(result.t - expected.t)).toBeLessThan(0.025);
  expect(Math.round(result.dof)).toBe(expected.df_rounded);
  expect(result.verdict).toBe("higher");
  // The two groups do not overlap: 1 of C(13, 6) = 1716 regroupings is as extreme.
  expect(result.permutation).toEqual({ p: 1 / 1716, regroupings: 1716, smallestP: 1 / 1716 });
});

test("with equal numbers t is that of the two-sample t test [simple-statistics]", () => {
  const [before, after] = [
    [10.2, 11.7, 10.9],
    [13.3, 14.9, 12.7],
  ];
  const result = compareSeries(seriesOf("well", [...before, ...after]), { design: "before-after" });
  expect(result.t).toBeCloseTo(tTestTwoSample(after, before) ?? Number.NaN, 9);
});

describe("before and after with a control", () => {
  // Differences before 4, 5, 6 and after 14, 16, 15: effect 10, s 1 and 1, u √(2/3), ν 4 (by hand).
  const control = [20, 22, 21, 24, 22, 23];
  const treated = [24, 27, 27, 38, 38, 38];
  const result = compareSeries(seriesOf("well 3", treated), seriesOf("spring", control), {
    design: "before-after-control",
  });

  test("the effect is the change of the differences with their scatter", () => {
    expect(result.effect.value).toBeCloseTo(10, 10);
    expect(result.effect.u).toBeCloseTo(Math.sqrt(2 / 3), 10);
    expect(result.dof).toBeCloseTo(4, 9);
    expect(result.verdict).toBe("rose");
    expect(result.counts).toEqual([3, 3]);
  });

  test("it is 38.5 % of the level before, 26", () => {
    expect(result.percent?.value).toBeCloseTo((100 * 10) / 26, 9);
    expect(result.percent?.unit).toBe("%");
  });

  test("both places are told for themselves, and their changes differ by the effect", () => {
    const [well, spring] = result.places.map(({ change }) => change?.value ?? Number.NaN);
    expect([well, spring]).toEqual([expect.closeTo(12, 9), expect.closeTo(2, 9)]);
  });

  test("3 + 3 visits give at least 0.1 by regrouping: 2 of C(6, 3) = 20", () => {
    expect(result.permutation).toEqual({ p: 0.1, regroupings: 20, smallestP: 0.1 });
  });

  test("with the sign turned the verdict turns", () => {
    const turned = compareSeries(seriesOf("spring", control), seriesOf("well 3", treated), {
      design: "before-after-control",
    });
    expect(turned.verdict).toBe("fell");
    expect(turned.effect.value).toBeCloseTo(-10, 10);
  });

  test("effect with interval first, then the test, then the smallest difference", async () => {
    const lines = String(result).split("\n");
    expect(lines[0]).toBe("chloride at well 3 rose by 10.00 ± 2.27 mg/L against spring");
    expect(lines[1]).toBe(
      "  95 % interval 7.73 to 12.27 mg/L (k = 2.8); 38.5 ± 8.7 % of the level before at well 3",
    );
    expect(lines[2]).toMatch(/^ {2}t = 12\.25, ν = 4, p = 0\.0002\d* .*smallest possible here is 0\.1$/);
    expect(lines[3]).toMatch(
      /^ {2}smallest difference that this study finds with 80 % probability: 3\.0\d mg\/L$/,
    );
    expect(await result[DISPLAY]()).toMatchObject({ "text/plain": String(result) });
  });

  test("a small effect is not shown, and never called the same", () => {
    const quiet = compareSeries(seriesOf("well 3", [24, 27, 27, 29, 28, 26]), seriesOf("spring", control), {
      design: "before-after-control",
    });
    expect(quiet.verdict).toBe("no change shown");
    expect(String(quiet)).toContain("less may be there unseen");
    expect(String(quiet)).not.toMatch(/\bsame\b|unchanged/);
  });

  test("a date of the change takes the place of the periods; its own day counts as after", () => {
    const nameless = DAYS.map(([day]) => [day, undefined] as const);
    const dated = (change: string) =>
      compareSeries(seriesOf("well 3", treated, nameless), seriesOf("spring", control, nameless), {
        design: "before-after-control",
        change,
      });
    expect(dated("2026-03-10").effect.value).toBeCloseTo(10, 10);
    expect(dated("2026-02-21").counts).toEqual([2, 4]);
  });
});

describe("what the results share", () => {
  const curve = (value: number, name: string) =>
    times(measured(value, "mg/L", { u: 0.01 }), measured(1, "1", { u: 0.02 }, { source: name }));
  const bac = (names: (i: number) => string) => {
    const of = (values: readonly number[]) => values.map((value, i) => curve(value, names(i)));
    return compareSeries(
      seriesOf("well 3", of([24, 27, 27, 38, 38, 38])),
      seriesOf("spring", of([20, 22, 21, 24, 22, 23])),
      { design: "before-after-control" },
    ).effect;
  };
  const share = (effect: ReturnType<typeof bac>, name: string) =>
    effect.budget().find(({ source }) => source === name)?.contribution;

  test("one scale error of 2 % acts on the effect alone: 2 % of 10", () => {
    expect(
      share(
        bac(() => "curve"),
        "curve",
      ),
    ).toBeCloseTo(0.2, 10);
  });

  test("a curve for each period acts on the differences of its period: 2 % of 5 and of 15", () => {
    const effect = bac((i) => (i < 3 ? "February" : "March"));
    expect(share(effect, "February")).toBeCloseTo(0.1, 10);
    expect(share(effect, "March")).toBeCloseTo(0.3, 10);
    expect(effect.u ** 2).toBeCloseTo(2 / 3 + 0.1 ** 2 + 0.3 ** 2, 9);
  });

  test("a curve of its own for each day is in the scatter between days and not counted twice", () => {
    const effect = bac((i) => `day ${i}`);
    expect(effect.sources).toHaveLength(2);
    expect(effect.u ** 2).toBeCloseTo(2 / 3, 9);
  });

  test("an offset common to all cancels", () => {
    const shift = measured(0, "mg/L", { u: 3 }, { source: "blank" });
    const of = (values: readonly number[]) =>
      values.map((value) => ({ ...shift, value, u: 3 }) as typeof shift);
    const { effect } = compareSeries(
      seriesOf("well 3", of([24, 27, 27, 38, 38, 38])),
      seriesOf("spring", of([20, 22, 21, 24, 22, 23])),
      { design: "before-after-control" },
    );
    expect(effect.u).toBeCloseTo(Math.sqrt(2 / 3), 10);
  });
});

// n 12, mean difference 0.6, s 1.5, margin ± 2: t 6.00 and 3.23, p 0.004, 90 % interval −0.18 to 1.38 (computed once
// from the t distribution, as the handbook of this project prints them).
test("equivalence of twelve pairs within ± 2", () => {
  const base = [-1.6, -1.2, -0.9, -0.5, -0.2, 0, 0.1, 0.3, 0.6, 0.8, 1.1, 1.5];
  const s = Math.sqrt(base.reduce((sum, x) => sum + x * x, 0) / 11);
  const a = base.map((x) => 10.6 + (1.5 * x) / s);
  const days = daysFor(12, 12);
  const { equivalence } = compareSeries(
    seriesOf("a", a, days),
    seriesOf(
      "b",
      a.map(() => 10),
      days,
    ),
    {
      design: "paired",
      margin: 2,
    },
  );
  expect(equivalence?.t[0]).toBeCloseTo(6.0, 2);
  expect(equivalence?.t[1]).toBeCloseTo(3.23, 2);
  expect(equivalence?.p).toBeCloseTo(0.004, 3);
  expect(equivalence?.interval.low).toBeCloseTo(-0.18, 2);
  expect(equivalence?.interval.high).toBeCloseTo(1.38, 2);
  expect(equivalence?.equivalent).toBe(true);
});
