// How results show themselves in a notebook: on the invented demonstration batch, because views need whole results.
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import type { Results } from "../../toolkit/batch/types.js";
import { type DisplayBundle, displayOf } from "../../toolkit/display.js";
import { compareSeries, DISPLAY, openBatch, quantify } from "../../toolkit/index.js";

const data = (channel: string) =>
  fileURLToPath(new URL(`../../datasets/road-salt-in-wells/${channel}`, import.meta.url));

let found: Results;
beforeAll(async () => {
  found = await quantify([await openBatch(data("anions")), await openBatch(data("cations"))]);
}, 30_000);

const shown = async (value: unknown): Promise<DisplayBundle> =>
  (value as { [DISPLAY](): Promise<DisplayBundle> })[DISPLAY]();
const WELL = "well 3 (12 Mar)";
const rise = () =>
  compareSeries(found.series("well 3", "chloride"), found.series("spring", "chloride"), {
    design: "before-after-control",
  });

/** What must be true of every picture that leaves for a front end. */
function expectPictures(bundle: DisplayBundle): void {
  const svg = String(bundle["image/svg+xml"]);
  expect(svg).toMatch(/^<svg/);
  expect(svg).not.toMatch(/NaN|undefined/);
  const png = Buffer.from(String(bundle["image/png"]), "base64");
  expect(png.subarray(1, 4).toString("latin1")).toBe("PNG");
  // Width and height stand in the header; twice the drawing's size.
  expect(png.readUInt32BE(16)).toBeGreaterThan(300);
  expect(png.length).toBeLessThan(150_000);
}

describe("a result shows itself", () => {
  it.each([
    ["a trace", () => found.trace("A041")],
    ["a calibration", () => found.calibration("chloride")],
    ["a balance", () => found.balance(WELL)],
    ["an explanation", () => found.why(WELL, "chloride")],
    ["a series", () => found.series("well 3", "chloride")],
    ["a series that was not detected", () => found.series("spring", "bromide")],
    ["a comparison", rise],
    ["a measured value", () => rise().effect],
  ])("%s: as words, markup and pictures, the PNG for pages that refuse SVG", async (_, make) => {
    const bundle = await shown(make());
    expect(bundle["text/plain"].length).toBeGreaterThan(10);
    const words = String(bundle["text/html"]).replace(/<script.*?<\/script>/gs, "");
    expect(words).not.toMatch(/NaN|undefined|\[object/);
    expectPictures(bundle);
  });

  it("an explanation leads from the number to the file's SHA-256", async () => {
    const html = String((await shown(found.why(WELL, "chloride")))["text/html"]);
    const sha256 = found.why(WELL, "chloride").file?.sha256 ?? "no file";
    expect(html).toContain(sha256);
    expect(html).toContain("stock chloride stock A");
    for (const step of ["preparation", "calibration", "area", "peak", "injection", "record"])
      expect(html).toContain(`<th scope="row">${step}</th>`);
  });

  it("a comparison says the effect with its interval, the test and what could have been missed", async () => {
    const { effect, interval } = rise();
    const html = String((await shown(rise()))["text/html"]);
    const [value, half] = [effect.value, interval.high - effect.value].map((x) => x.toFixed(2));
    // The story's truth is 24 mg/L (datasets/road-salt-in-wells/README.md).
    expect(Math.abs(effect.value - 24)).toBeLessThan(2 * effect.u);
    expect(html).toContain(`Chloride at well 3 rose by ${value} ± ${half} mg/L against spring`);
    expect(html).toContain("95 % interval");
    expect(html).toContain("Smallest difference that this study finds with 80 % probability");
  });

  it("a calibration says why its model holds, and its limits in their order", async () => {
    const html = String((await shown(found.calibration("chloride")))["text/html"]);
    const order = ["critical value", "detection limit", "quantification limit", "highest standard"];
    const places = order.map((name) => html.indexOf(`<th scope="row">${name}</th>`));
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(places[0]).toBeGreaterThan(0);
    expect(html).toContain("parabola with weights 1/x²");
  });

  it("a balance names every criterion and says in words whether it is met", async () => {
    const balance = found.balance(WELL);
    const html = String((await shown(balance))["text/html"]);
    expect(html.match(/<td>(met|missed)<\/td>/g)?.length).toBe(balance.criteria.length);
    expect(html).toContain("balances");
  });

  it("unknown peaks stand in a table with their samples and charge", async () => {
    const html = String((await shown(found.unknowns))["text/html"]);
    // One row a sight, and one a peak that says where there is most of it.
    expect(html.match(/<td>well 2 \(/g)?.length).toBe(6);
    expect(html).toContain("between fluoride and chloride");
    expect(html).toContain("never a name");
    expect(html).toContain("µeq/L");
    expect(html).not.toContain('href="#');
  });

  it("a long worksheet is folded under one line", async () => {
    const html = String((await shown(found.batches[0]))["text/html"]);
    expect(html).toMatch(/<details><summary>worksheet/);
    expect(html.match(/<tr><th scope="row">A\d+/g)?.length).toBe(51);
  });

  it("a calibration holds its tests of fit with the figures of the curve", async () => {
    const { curve } = found.calibration("chloride");
    const html = String((await shown(found.calibration("chloride")))["text/html"]);
    const repeated = curve.lackOfFit();
    const figures = (test: { F: number; dfNumerator: number; dfDenominator: number }) =>
      `<td class="num">${test.F.toPrecision(2)}</td><td class="num">${test.dfNumerator}, ${test.dfDenominator}</td>`;
    expect(repeated).toBeDefined();
    if (repeated) expect(html).toContain(figures(repeated));
    expect(html).toContain(figures(curve.mandel()));
  });

  it("a curve of a weak base is not compared with a parabola", async () => {
    const html = String((await shown(found.calibration("ammonium")))["text/html"]);
    expect(html).toContain("lack of fit against repeated injections");
    expect(html).not.toContain("Mandel");
  });

  it("markup in the words of an explanation stays text", async () => {
    const hostile = "<img src=x onerror=alert(1)>";
    const changed = {
      ...found.why(WELL, "chloride"),
      sample: hostile,
      cautions: [hostile],
      steps: [{ step: "record", sentences: [hostile] }],
    };
    const html = String((await displayOf(changed))["text/html"]);
    expect(html).not.toContain("<img");
    expect(html.match(/&lt;img/g)?.length).toBe(3);
  });

  it("results without a failed check begin with the table and end with what to do next", async () => {
    expect(found.checks.every((check) => check.passed)).toBe(true);
    const [calibration, ...others] = found.calibrations;
    const advising = {
      ...found,
      calibrations: [{ ...calibration, verdict: "the points scatter" }, ...others],
    };
    const html = String((await displayOf(advising))["text/html"]);
    expect(html.indexOf("What to do next")).toBeGreaterThan(html.lastIndexOf("</table>"));
  });

  it("results with a failed check begin with it", async () => {
    const [check, ...others] = found.checks;
    const failing = { ...found, checks: [{ ...check, passed: false }, ...others] };
    const html = String((await displayOf(failing))["text/html"]);
    const heading = html.indexOf("<h3>");
    expect(heading).toBeGreaterThan(0);
    expect(heading).toBeLessThan(html.indexOf("<table"));
  });
});
