import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { type DisplayBundle, displayOf } from "../../toolkit/display.js";
import { registerAllViews } from "../../toolkit/show/register-views.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { exactly, measured } from "../../toolkit/uncertainty/measured.js";
import { chargeBalance } from "../../toolkit/water/balance/charge-balance.js";
import { hostileResults } from "./hostile-results.js";
import { inventedResults } from "./invented-results.js";

const results = inventedResults({ points: 600 });
const points = [1, 2, 5, 10, 20].map((concentration) => ({ concentration, response: 0.25 * concentration }));

/** One object of every kind with a picture, and the media types its picture must have. */
const KINDS: readonly (readonly [
  name: string,
  value: { readonly kind: string },
  types: readonly string[],
])[] = [
  ["results", results, ["text/html"]],
  ["batch", results.batches[0], ["text/html"]],
  ["trace", [...results.traces.values()][25], ["text/html", "image/svg+xml"]],
  [
    "chromatogram",
    makeChromatogram({ id: "A1", time: [0, 1, 2, 3], signal: [1, 4, 2, 1] }),
    ["text/html", "image/svg+xml"],
  ],
  ["ion-calibration", results.calibrations[1], ["image/svg+xml", "application/vnd.vegalite.v5+json"]],
  [
    "calibration",
    calibrate(points, { ion: "chloride" }),
    ["image/svg+xml", "application/vnd.vegalite.v5+json"],
  ],
  ["sample-balance", results.balances[0], ["image/svg+xml", "application/vnd.vegalite.v5+json"]],
  [
    "charge-balance",
    chargeBalance({ sodium: measured(23, "mg/L", { u: 0.2 }), chloride: 35.4 }),
    ["image/svg+xml", "application/vnd.vegalite.v5+json"],
  ],
  ["measured-value", measured(10, "mg/L", { u: 0.1 }, { source: "flask" }), ["text/html", "image/svg+xml"]],
];

function show(value: { readonly kind: string }): DisplayBundle | Promise<DisplayBundle> {
  return displayOf(value as Parameters<typeof displayOf>[0]);
}

describe("how results show themselves in a notebook", () => {
  beforeAll(registerAllViews);

  it.each(KINDS)("%s: text first, then its pictures", async (_, value, types) => {
    const bundle = await show(value);
    expect(bundle["text/plain"].length).toBeGreaterThan(5);
    expect(bundle["text/plain"]).not.toContain("[object");
    expect(bundle["text/plain"]).not.toContain("<");
    for (const type of types) expect(Object.keys(bundle)).toContain(type);
    const svg = bundle["image/svg+xml"];
    if (svg !== undefined) expect(svg).toMatch(/^<svg[^>]*>.*<\/svg>$/s);
    const shown = `${bundle["text/plain"]}${bundle["text/html"] ?? ""}${svg ?? ""}`.replace(
      /<script>.*?<\/script>/gs,
      "",
    );
    expect(/NaN|undefined/.exec(shown)?.[0]).toBeUndefined();
  });

  it("an exact value shows itself without a budget", async () => {
    const bundle = await show(exactly(2, "mg/L"));
    expect(bundle["text/plain"]).toContain("2 mg/L");
  });

  it("a piece of HTML brings a style that stays inside it", async () => {
    const bundle = await show(results);
    const style = /<style>(.*?)<\/style>/s.exec(String(bundle["text/html"]))?.[1] ?? "";
    const selectors = [...style.replace(/@media[^{]*\{/g, "").matchAll(/([^{}]+)\{/g)].flatMap(([, list]) =>
      list.split(","),
    );
    expect(selectors.length).toBeGreaterThan(50);
    expect(selectors.map((one) => one.trim()).filter((one) => !/^\.(ionbook|ib-)/.test(one))).toEqual([]);
  });

  it("links that would lead nowhere in a notebook are no links", async () => {
    expect(String((await show(results))["text/html"])).not.toContain("href=");
  });

  it("markup in names stays text", async () => {
    const hostile = hostileResults();
    const shown = [hostile, hostile.batches[0], [...hostile.traces.values()][25], hostile.balances[3]];
    for (const value of shown) {
      const bundle = await show(value);
      expect(
        /<img|<script>window/.exec(`${bundle["text/html"]}${bundle["image/svg+xml"]}`)?.[0],
      ).toBeUndefined();
    }
  });
});

describe("the weight of the room", () => {
  it("no file loads vega or danfojs before something is shown", () => {
    const room = fileURLToPath(new URL("../../toolkit/show/", import.meta.url));
    const files = readdirSync(room, { recursive: true, encoding: "utf8" }).filter((name) =>
      name.endsWith(".ts"),
    );
    expect(files.length).toBeGreaterThan(30);
    for (const name of files) {
      const heavy = /^(?:import|export)(?! type\b)[^;]*from "(?:vega|vega-lite|danfojs-node)"/m;
      expect(readFileSync(join(room, name), "utf8"), name).not.toMatch(heavy);
    }
  });

  it("registering the views loads none of them", () => {
    const text = readFileSync(new URL("../../toolkit/show/register-views.ts", import.meta.url), "utf8");
    const loaded = [...text.matchAll(/^import (?!type)[^;]*from "([^"]+)"/gm)].map(([, from]) => from);
    expect(loaded).toEqual(["../display.js"]);
  });
});
