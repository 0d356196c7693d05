// Series and comparisons in a notebook. The numbers are invented for these tests: pictures, not chemistry, are at stake.
import { describe, expect, it } from "vitest";
import { compareSeries } from "../../toolkit/compare/compare-series.js";
import { makeSeries, type Series, type Visit } from "../../toolkit/compare/series.js";
import type { DisplayBundle } from "../../toolkit/display.js";
import { comparisonView } from "../../toolkit/show/view/comparison-view.js";
import { seriesView } from "../../toolkit/show/view/series-view.js";
import { measured } from "../../toolkit/uncertainty/measured.js";

const BEFORE = ["2026-02-17", "2026-02-19", "2026-02-21"];
const AFTER = ["2026-03-10", "2026-03-12", "2026-03-14"];

function visit(day: string | undefined, value: number, more: Partial<Visit> = {}): Visit {
  return {
    sample: `bottle of ${day}`,
    collectedAt: day,
    period: day === undefined ? undefined : BEFORE.includes(day) ? "before" : "after",
    value: measured(value, "mg/L", { u: 0.2 }),
    status: "quantified",
    detectionLimit: 0.05,
    ...more,
  };
}

function series(place: string, values: readonly number[], more: Partial<Visit> = {}): Series {
  const days = [...BEFORE, ...AFTER];
  const visits = values.map((value, index) => visit(days[index], value, more));
  return makeSeries({ place, ion: "chloride", unit: "mg/L", visits });
}

const well = () => series("well 3", [36.0, 35.1, 35.8, 59.5, 59.2, 58.6]);
const spring = () => series("spring", [6.6, 6.5, 6.8, 6.7, 6.6, 6.9]);
const still = () => series("well 4", [20.1, 20.6, 20.2, 20.4, 20.2, 20.7]);

/** All texts of a drawing in their order. */
function texts(bundle: DisplayBundle): readonly string[] {
  const svg = String(bundle["image/svg+xml"]);
  return [...svg.matchAll(/<text[^>]*>(.*?)<\/text>/gs)].map(([, words]) =>
    String(words)
      .replace(/<[^>]*>/g, " ")
      .replace(/\u202f/g, " ")
      .trim(),
  );
}

const markup = (bundle: DisplayBundle): string =>
  String(bundle["text/html"]).replace(/<style>.*?<\/style>/gs, "");

function expectWhole(bundle: DisplayBundle): void {
  expect(Object.keys(bundle).sort()).toEqual([
    "application/vnd.vegalite.v5+json",
    "image/png",
    "image/svg+xml",
    "text/html",
    "text/plain",
  ]);
  expect(`${bundle["image/svg+xml"]}${markup(bundle)}`).not.toMatch(/NaN|undefined|Infinity|\[object/);
  const png = Buffer.from(String(bundle["image/png"]), "base64");
  expect(png.subarray(0, 8).toString("hex")).toBe("89504e470d0a1a0a");
  expect(png.length).toBeLessThan(80_000);
}

/** Pieces of the specification that draw rows with this property. */
function rowsWith(bundle: DisplayBundle, property: string): readonly Record<string, unknown>[] {
  const found: Record<string, unknown>[] = [];
  JSON.stringify(bundle["application/vnd.vegalite.v5+json"], (_, value) => {
    if (value !== null && typeof value === "object" && property in value) found.push(value);
    return value;
  });
  return found;
}

describe("a series shows", () => {
  it("every visit with its interval, the days, the periods and what the bars are", async () => {
    const bundle = await seriesView(well());
    expectWhole(bundle);
    const intervals = rowsWith(bundle, "low").filter((row) => row.state === "known");
    const first = intervals.find((row) => row.value === 36);
    expect(Number(first?.low)).toBeCloseTo(36 - 1.96 * 0.2, 3);
    expect(Number(first?.high)).toBeCloseTo(36 + 1.96 * 0.2, 3);
    expect(texts(bundle)).toEqual(
      expect.arrayContaining(["chloride / (mg/L)", "17 Feb", "14 Mar", "before", "after", "well 3"]),
    );
    expect(texts(bundle).join(" ")).toContain("bars: 95 %, k = 2.0");
  });

  it("what was not detected as an open symbol with an arrow at its limit, the reading as a bar", async () => {
    const bundle = await seriesView(series("spring", [0.01, 0.02, -0.01], { status: "not detected" }));
    expectWhole(bundle);
    const rows = rowsWith(bundle, "bound");
    expect(rows.length).toBeGreaterThan(0);
    expect(new Set(rows.map((row) => row.bound))).toEqual(new Set([0.05]));
    expect(new Set(rows.map((row) => row.value))).toEqual(new Set([0.01, 0.02, -0.01]));
    expect(texts(bundle).join(" ")).toContain("arrow: not detected");
  });

  it("its table alone where no visit has a date", async () => {
    const undated = makeSeries({ place: "tap", ion: "nitrate", unit: "mg/L", visits: [visit(undefined, 3)] });
    const bundle = await seriesView(undated);
    expect(Object.keys(bundle)).toEqual(["text/plain", "text/html"]);
    expect(markup(bundle)).toContain("1 sample without a date or a value: not drawn.");
  });

  it("one visit, and none at all", async () => {
    expectWhole(await seriesView(series("well 3", [36])));
    expect(markup(await seriesView(series("well 3", [])))).toContain("no samples");
  });

  it("a place named in markup as plain words", async () => {
    const bundle = await seriesView(series("<img src=x>", [36, 35]));
    expect(markup(bundle)).not.toContain("<img");
    expect(String(bundle["image/svg+xml"])).not.toContain("<img");
  });
});

describe("a comparison shows", () => {
  it("the changes of both places and the effect with the numbers of its own words", async () => {
    const rise = compareSeries(well(), spring(), { design: "before-after-control" });
    const bundle = await comparisonView(rise);
    expectWhole(bundle);
    const headline = /by (\S+ ± \S+) mg\/L against spring/.exec(bundle["text/plain"])?.[1];
    expect(headline).toBeDefined();
    expect(texts(bundle).join("\n")).toContain(`well 3 beyond spring: +${headline} mg/L (k = `);
    expect(texts(bundle)).toEqual(expect.arrayContaining(["well 3", "spring", "before", "after"]));
    const page = markup(bundle);
    expect(page).toContain(`Chloride at well 3 rose by ${headline} mg/L against spring.`);
    for (const heading of ["before", "after", "change"])
      expect(page).toMatch(new RegExp(`<th scope="col" class="num">${heading} <small>/ mg/L`));
    expect(page).toContain("<svg");
  });

  it("the smallest difference that such a study finds, on both sides of zero", async () => {
    const rise = compareSeries(well(), spring(), { design: "before-after-control" });
    const bundle = await comparisonView(rise);
    const row = rowsWith(bundle, "lineAt").find((each) => String(each.text).startsWith("within ±"));
    expect(row?.low).toBe(-rise.smallestDifference);
    expect(row?.high).toBe(rise.smallestDifference);
    expect(String(row?.text)).toContain("80 % probability");
  });

  it("nothing shown as not shown, never as the same", async () => {
    const none = compareSeries(still(), spring(), { design: "before-after-control" });
    const bundle = await comparisonView(none);
    expectWhole(bundle);
    expect(markup(bundle)).toContain("no change shown");
    expect(markup(bundle)).toContain("Not shown is not absent");
  });

  it("one place before and after, with the day of the change", async () => {
    const alone = compareSeries(well(), { design: "before-after", change: "2026-03-01" });
    const bundle = await comparisonView(alone);
    expectWhole(bundle);
    expect(texts(bundle)).toContain("change");
    expect(texts(bundle).join("\n")).toMatch(/change at well 3: \+23\.\d+ ± \d\.\d+ mg\/L/);
    expect(texts(bundle)).not.toContain("spring");
  });

  it("two places compared by their difference, without a word of before and after", async () => {
    const pairs = compareSeries(well(), spring(), { design: "paired" });
    const bundle = await comparisonView(pairs);
    expectWhole(bundle);
    expect(texts(bundle).join("\n")).toContain("well 3 minus spring: +");
    expect(texts(bundle)).not.toContain("before");
    expect(markup(bundle)).toMatch(/<th scope="col" class="num">mean <small>/);
  });

  it("at most three grid lines beside the zero on the axis, and no legend", async () => {
    const bundle = await comparisonView(compareSeries(well(), spring(), { design: "before-after-control" }));
    const svg = String(bundle["image/svg+xml"]);
    const grids = [...svg.matchAll(/class="mark-rule role-axis-grid"[^>]*>(.*?)<\/g>/gs)];
    expect(grids.length).toBeGreaterThan(0);
    for (const [, lines] of grids) expect(String(lines).match(/<line/g)?.length ?? 0).toBeLessThanOrEqual(4);
    expect(svg).not.toContain("role-legend");
  });
});
