import { beforeAll, describe, expect, it } from "vitest";
import type { Results } from "../../toolkit/batch/types.js";
import { indexPage } from "../../toolkit/show/page/index-page.js";
import { realInputPage } from "../../toolkit/show/page/real-input-page.js";
import { reportPage } from "../../toolkit/show/page/report-page.js";
import { measuredText } from "../../toolkit/show/text/measured-text.js";
import { hostileResults } from "./hostile-results.js";
import { inventedResults } from "./invented-results.js";
import { realInputFixture } from "./real-input-fixture.js";

/** What a reader sees of a piece of page: no tags, entities read. */
function readable(page: string): string {
  const names: Record<string, string> = { amp: "&", lt: "<", gt: ">", quot: '"', "#39": "'" };
  return page
    .replace(/<(style|script)[^>]*>.*?<\/\1>/gs, "")
    .replace(/<[^>]+>/g, "")
    .replace(/&(amp|lt|gt|quot|#39);/g, (_, name: string) => names[name])
    .replace(/\s+/g, " ");
}

/** The cells of a sample's row in a table, as a reader sees them. */
function cellsOf(page: string, sample: string, ion: string): string[] {
  const table = page.split("<table>").find((part) => part.includes(`<b>${ion}</b>`)) ?? "";
  const row = table.split("<tr").find((part) => part.includes(`<th scope="row">${sample}</th>`)) ?? "";
  return row
    .split("<td")
    .slice(1)
    .map((cell) => readable(`<td${cell}`).trim());
}

describe("the report page", () => {
  let results: Results;
  let page: string;
  let text: string;
  beforeAll(async () => {
    results = inventedResults({ points: 1500 });
    page = await reportPage(results);
    text = readable(page);
  }, 30_000);

  it("says first what the batch says: counts by status, balance, failed checks, all taken from the results", () => {
    const counted = (status: string): number => results.samples.filter((row) => row.status === status).length;
    const answer = /<p class="answer">(.*?)<\/p>/s.exec(page)?.[1] ?? "";
    expect(answer).toContain(`${counted("quantified")} are quantified`);
    expect(answer).toContain(`${counted("not detected")} were not detected`);
    // Sodium is invented from 0.31 mg/L in rain to 808 mg/L in the ditch, the widest range of all ions.
    expect(answer).toMatch(
      /^Sodium differs most: from 0\.3\d+.±.0\.0\d+.mg\/L in rain to [78]\d\d.* in melt-water ditch\./,
    );
    const open = results.balances.filter((balance) => !balance.passed);
    expect(answer).toContain(
      `balance in ${results.balances.length - open.length} of ${results.balances.length} samples`,
    );
    const failed = results.checks.filter((check) => !check.passed);
    expect(answer).toContain(`${failed.length} of ${results.checks.length} checks failed`);
  });

  it("marks invented data as such before any number, and only invented data", async () => {
    expect(page.indexOf("Invented demonstration data")).toBeLessThan(page.indexOf('class="answer"'));
    const real = await reportPage({
      ...inventedResults({ points: 400, channels: ["anion"] }),
      calibrations: [],
      invented: false,
    });
    expect(real).not.toContain("Invented demonstration data");
  }, 20_000);

  it("shows each value with its expanded uncertainty, and one not detected as a bound with an open sign", () => {
    const value = (sample: string, ion: string) =>
      results.samples.find((row) => row.sample === sample && row.ion === ion);
    const chloride = value("well 3", "chloride")?.value;
    if (chloride === undefined) throw new Error("no chloride in well 3");
    const shown = cellsOf(page, "well 3", "chloride").join(" | ").replace(/\s/g, "");
    expect(shown).toContain(measuredText(chloride, "").replace(/\s/g, ""));
    const nitrite = value("spring", "nitrite");
    expect(nitrite?.status).toBe("not detected");
    const bounds = cellsOf(page, "spring", "nitrite").filter((cell) => cell.includes("<"));
    expect(bounds.join(" ")).toMatch(/○not detected < 0\.0020/);
    expect(text).toContain("○ not detected: the signal lies below the critical value");
  });

  it("gives every sample and ion a cell, or a sentence where an ion was found nowhere or not measured", () => {
    for (const row of results.samples) {
      if (row.ion === "lithium" || row.ion === "barium") continue;
      expect(page, row.ion).toContain(`<b>${row.ion}</b>`);
      expect(cellsOf(page, row.sample, row.ion).length).toBeGreaterThanOrEqual(6);
    }
    expect(text).toMatch(/Lithium was detected in no sample \(< 0\.0010 to < 0\.010.mg\/L/);
    expect(text).toContain("Barium was not measured by this method: it may be present.");
  });

  it("tells an ion missing in some samples in its cells, and why; one never measured in a sentence with the reason", async () => {
    const reason = "not injected on the cation channel";
    const samples = results.samples.map((row) => {
      const gone = row.ion === "potassium" || (row.ion === "calcium" && row.sample === "rain");
      return gone ? { ...row, status: "not measured" as const, value: undefined, flags: [reason] } : row;
    });
    // Their curves do not matter here, and drawing them takes most of the time.
    const partly = await reportPage({ ...results, samples, calibrations: [] });
    expect(readable(partly)).toContain(`Potassium was not measured (${reason}): it may be present.`);
    expect(partly).not.toContain("<b>potassium</b>");
    expect(cellsOf(partly, "rain", "calcium").join(" ")).toMatch(/not measured\d/);
    expect(readable(partly)).toContain(reason);
  }, 20_000);

  it("never mixes limits of different units: an ion absent from soil and water keeps its column", async () => {
    const samples = results.samples.map((row) =>
      row.sample === "tap" ? { ...row, unit: "mg/kg dry" } : row,
    );
    const mixed = await reportPage({ ...results, samples, calibrations: [] });
    expect(mixed).toContain("<b>lithium</b>");
    expect(readable(mixed)).not.toContain("Lithium was detected in no sample");
  }, 20_000);

  it("states each failed check as a sentence that leads to its trace and says what it touches", () => {
    const start = page.indexOf('<section id="failed">');
    const section = page.slice(start, page.indexOf("</section>", start));
    expect(readable(section)).toContain(
      "nitrate found 82.4 where 100 was expected, limit 90–110 %. It touches rain and tap.",
    );
    const failed = results.checks.findIndex((check) => !check.passed);
    expect(section).toContain(`href="#check-${failed + 1}"`);
    expect(page).toContain(`<tr id="check-${failed + 1}">`);
  });

  it("has a target for every link inside the page", () => {
    const targets = new Set([...page.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id));
    const links = [...page.matchAll(/ href="#([^"]+)"/g)].map(([, id]) => id);
    expect(links.length).toBeGreaterThan(100);
    expect(links.filter((link) => !targets.has(link))).toEqual([]);
  });

  it("uses no element id twice", () => {
    const ids = [...page.matchAll(/<[a-z]+[^>]* id="([^"]+)"/g)].map(([, id]) => id);
    expect(ids.filter((id, index) => ids.indexOf(id) !== index)).toEqual([]);
  });

  it("holds the trace of every injection, samples drawn before the script runs, others folded", () => {
    const figures = page.slice(0, page.lastIndexOf("<script>")).split('<figure class="ib-trace"').slice(1);
    expect(figures).toHaveLength(results.traces.size);
    const samples = [...results.traces.values()].filter((trace) => trace.injection.kind === "sample");
    expect(figures.filter((figure) => figure.includes('<svg class="ib-svg"'))).toHaveLength(samples.length);
    const folds = [...page.matchAll(/<summary>([^<]+)/g)].map(([, summary]) => summary);
    for (const name of ["Duplicates and spikes", "Checks", "Calibration standards", "Blanks"]) {
      expect(folds.some((fold) => fold.startsWith(name))).toBe(true);
    }
  });

  it("carries verdict, limits with their definition, unknown peaks with charge, and the files' fingerprints", () => {
    expect(text).toContain("lack of fit at the lowest level (F 5.1, p 0.02)");
    expect(text).toContain("Currie, α = β = 5 %");
    expect(text).toMatch(/unknown 1 anions3\.95well 3/);
    for (const file of results.batches[0].files) expect(page).toContain(file.sha256);
    expect(text).toMatch(/Made by ionbook \d+\.\d+\.\d+ on Node\.js/);
  });

  it("names no address outside itself", () => {
    expect(page.replace(/http:\/\/www\.w3\.org\/(2000\/svg|1999\/xlink)/g, "")).not.toMatch(
      /https?:|\/\/[a-z]+\./i,
    );
  });

  it("says that all checks passed where all did, and asks for nothing then", async () => {
    const plain = inventedResults({ points: 400, channels: ["cation"] });
    const good = { ...plain, checks: plain.checks.map((check) => ({ ...check, passed: true })) };
    const calm = await reportPage({
      ...good,
      calibrations: good.calibrations.map((each) => ({ ...each, verdict: "accepted" })),
    });
    expect(readable(calm)).toContain(`All ${plain.checks.length} checks passed.`);
    expect(calm).not.toContain('id="failed"');
  }, 20_000);
});

describe("a report of 80 injections of 6000 points", () => {
  it("stays below 6 MB with all of its records at full resolution", async () => {
    const results = inventedResults({ points: 6000, repeats: 2 });
    expect(results.traces.size).toBeGreaterThanOrEqual(80);
    const page = await reportPage(results);
    expect(Buffer.byteLength(page) / results.traces.size).toBeLessThan(6e6 / 80);
  }, 30_000);
});

describe("markup in a user's files", () => {
  it("never reaches the report", async () => {
    const page = await reportPage(hostileResults());
    expect(/<img|<script>window/.exec(page)?.[0]).toBeUndefined();
    const scripts = [...page.matchAll(/<script[^>]*>/g)].map(([tag]) => tag);
    const own = scripts.filter(
      (tag) => tag === '<script type="application/json" class="ib-data">' || tag === "<script>",
    );
    expect(own).toHaveLength(scripts.length);
    expect(scripts.filter((tag) => tag === "<script>")).toHaveLength(1);
  }, 30_000);

  it("never reaches the index, and no link of it leaves the folder", () => {
    const page = indexPage([
      {
        title: "<b>x</b>",
        answer: "<img src=x>",
        href: "javascript:alert(1)",
        invented: true,
        facts: ["<i>"],
      },
      { title: "y", answer: "A rise of 2 ± 1 (k = 2.8).", href: "y/report.html", invented: false },
    ]);
    expect(page).toContain("(k\u00a0=\u00a02.8)");
    expect(page).not.toMatch(/<img|<b>x|<i>|javascript:/);
    expect(page).toContain('href="y/report.html"');
    expect(page).toContain("invented demonstration data");
  });
});

describe("the page of real input", () => {
  it("states the largest difference of the areas and of the sums", async () => {
    const input = await realInputFixture();
    const page = await realInputPage(input);
    const text = readable(page);
    // Every area of the file equals the trapezoid above its straight baseline (datasets/liquid-chromatogram).
    expect(text).toMatch(/all 8 areas of a real chromatogram agree within 0\.01.%/);
    const gaps = input.rivers.analyses.map(({ published, own }) =>
      Math.max(
        Math.abs(own.cations.value - published.published.cations),
        Math.abs(own.anions.value - published.published.anions),
      ),
    );
    const stated = Number(/published ones within ([\d.]+)/.exec(text)?.[1]);
    expect(stated).toBeCloseTo(Math.max(...gaps), 4);
    // Printed to 0.001 meq/L, ions and sums alike: a sum of up to eight rounded numbers cannot be off by more than 0.0045.
    expect(stated).toBeLessThan(0.0045);
    expect(page.match(/<tr>/g)?.length).toBeGreaterThanOrEqual(8 + 22 + 2);
    expect(text).toContain("+87.37");
  }, 20_000);
});
