// How results of signals and peaks show themselves: real ones of invented records (tests/show/invented-signals.ts).

import { describe, expect, it } from "vitest";
import { DISPLAY, type DisplayBundle, displayOf } from "../../toolkit/display.js";
import { type PeakFigures, peakFigures } from "../../toolkit/peaks/figures/peak-figures.js";
import type { PeakRule } from "../../toolkit/peaks/integration/integrated-peak.js";
import { registerAllViews } from "../../toolkit/show/register-views.js";
import { DRAWING_TOOLS, drawTrace } from "../../toolkit/show/trace/draw-trace.js";
import type { DrawnTrace } from "../../toolkit/show/trace/drawn-trace.js";
import { textWidth } from "../../toolkit/show/trace/label-places.js";
import { readFit } from "../../toolkit/show/trace/read-fit.js";
import { readIntegration } from "../../toolkit/show/trace/read-integration.js";
import { leftOver, sumOfParts } from "../../toolkit/show/trace/strip-paths.js";
import { autocovarianceView } from "../../toolkit/show/view/autocovariance-view.js";
import { baselineView } from "../../toolkit/show/view/baseline-view.js";
import { blankSubtractionView } from "../../toolkit/show/view/blank-subtraction-view.js";
import { parameterSymbol, strongCorrelations } from "../../toolkit/show/view/correlation-table.js";
import { diagnosticWords } from "../../toolkit/show/view/fit-words.js";
import { fittedPeaksView } from "../../toolkit/show/view/fitted-peaks-view.js";
import { integrationView } from "../../toolkit/show/view/integration-view.js";
import { noiseView } from "../../toolkit/show/view/noise-view.js";
import { peakFiguresView } from "../../toolkit/show/view/peak-figures-view.js";
import { pharmacopoeialNoiseView } from "../../toolkit/show/view/pharmacopoeial-noise-view.js";
import {
  inventedFigures,
  inventedIntegration,
  pairFit,
  realAutocovariance,
  realBaseline,
  realBlankSubtraction,
  realIntegration,
  realJointFit,
  realNoise,
  realPeakCount,
  realPharmacopoeialNoise,
} from "./invented-signals.js";

const integration = inventedIntegration();
const fit = pairFit();

/** Words of a bundle's markup as a reader sees them: no style, script or tags, thin spaces as plain ones. */
function words(bundle: DisplayBundle): string {
  return String(bundle["text/html"])
    .replace(/<(style|script).*?<\/\1>/gs, "")
    .replace(/<[^>]*>/g, " ")
    .replace(/[\s\u202f\u00a0]+/g, " ");
}

/** Shown once for all tests: drawing is what takes their time. */
const once = (show: () => DisplayBundle | Promise<DisplayBundle>) => {
  let bundle: DisplayBundle | Promise<DisplayBundle> | undefined;
  return async (): Promise<DisplayBundle> => {
    bundle ??= show();
    return bundle;
  };
};
const shownIntegration = once(() => integrationView(integration));
// The others show themselves as in a notebook, through the view that is registered for their kind.
registerAllViews();
const shownReal = once(() => displayOf(realIntegration()));
const shownFit = once(() => displayOf(fit));
const shownCount = once(() => displayOf(realPeakCount()));
const shownJoint = once(() => displayOf(realJointFit()));
const shownBaseline = once(() => displayOf(realBaseline()));
const shownBlank = once(() => displayOf(realBlankSubtraction()));
const shownNoise = once(() => displayOf(realNoise(5)));
const shownMemory = once(() => displayOf(realAutocovariance()));

const PICTURED: readonly (readonly [string, () => Promise<DisplayBundle>])[] = [
  ["an integration", shownIntegration],
  ["an integration by the toolkit", shownReal],
  ["a fit", shownFit],
  ["a number of peaks", shownCount],
  ["a joint fit", shownJoint],
  ["a baseline", shownBaseline],
  ["a blank subtraction", shownBlank],
  ["a noise", shownNoise],
  ["an autocovariance", shownMemory],
];

describe("results of signals and peaks", () => {
  it.each(PICTURED)("%s: words, markup, SVG and beside it a PNG", async (_, show) => {
    const bundle = await show();
    expect(bundle["text/plain"].length).toBeGreaterThan(20);
    expect(bundle["text/plain"]).not.toMatch(/NaN|undefined|\[object|</);
    expect(words(bundle)).not.toMatch(/NaN|undefined|\[object/);
    const svg = String(bundle["image/svg+xml"]);
    expect(svg).toMatch(/^<svg[^>]*>.*<\/svg>$/s);
    expect(svg).not.toMatch(/NaN|undefined|Infinity/);
    const png = Buffer.from(String(bundle["image/png"]), "base64");
    expect(png.subarray(1, 4).toString("latin1")).toBe("PNG");
    expect(png.readUInt32BE(16)).toBeGreaterThan(1000);
  });
});

/** Boxes of the names in a drawing, px. */
function nameBoxes(svg: string) {
  return [
    ...svg.matchAll(/<text class="ib-label[^"]*" x="([\d.-]+)" y="([\d.-]+)"[^>]*>([^<]*)<\/text>/g),
  ].map(([, x, y, text]) => {
    const half = textWidth(text.replace(/&#\d+;/g, "x"), 11) / 2;
    return {
      text,
      left: Number(x) - half,
      right: Number(x) + half,
      top: Number(y) - 10,
      foot: Number(y) + 1,
    };
  });
}

const drawn = (trace: DrawnTrace, width: number) =>
  drawTrace(trace, { x: [trace.time[0], trace.time[trace.time.length - 1]] }, width, DRAWING_TOOLS);

describe("a shown integration", () => {
  it("has two panels, full scale and trace level, and a residual strip", () => {
    const { svg, panels } = drawn(readIntegration(integration), 640);
    expect(panels.map(({ factor }) => factor)).toEqual([1, 200]);
    expect(svg.match(/class="ib-rest"/g)?.length).toBeGreaterThan(0);
    expect(svg).toContain(">residual / (µS/cm)");
  });

  it.each([350, 640, 900])("no two names touch at a width of %i px", (width) => {
    const boxes = nameBoxes(drawn(readIntegration(integration), width).svg);
    expect(boxes.length).toBeGreaterThan(8);
    const touching = boxes.flatMap((a, index) =>
      boxes
        .slice(index + 1)
        .filter((b) => a.left < b.right && b.left < a.right && a.top < b.foot && b.top < a.foot)
        .map((b) => `${a.text} | ${b.text}`),
    );
    expect(touching).toEqual([]);
  });

  it("names ions, gives unknowns their time in grey, and calls a dip a dip", () => {
    const { peaks } = readIntegration(integration);
    expect(peaks.find(({ label }) => label === "nitrate")?.color).toBe("vermilion");
    expect(peaks.find(({ label }) => label.startsWith("9.42"))?.color).toBe("unknown");
    expect(peaks.find(({ label }) => label === "dip")).toMatchObject({ system: true, height: -0.03 });
  });

  it("marks a refused peak with a word, draws it open, gives the reason and the advice, and no area", async () => {
    const trace = readIntegration(integration);
    expect(trace.peaks.filter(({ refused }) => refused).map(({ label }) => label)).toEqual([
      "fluoride (not quantified)",
    ]);
    expect(drawn(trace, 640).svg).toMatch(/class="ib-fill ib-refused ib-sky"/);
    const text = words(await shownIntegration());
    expect(text).toContain("fluoride is not quantified:");
    expect(text).toContain("differ by 46 %. Inject the major alone, or dilute.");
    const row = /<tr><th scope="row">fluoride<\/th>.*?<\/tr>/s.exec(
      String((await shownIntegration())["text/html"]),
    )?.[0];
    expect(row).toContain("not quantified");
    expect(row).not.toContain("±");
  });

  it("shows the areas of the object with their 95 % uncertainty and their largest source", async () => {
    const text = words(await shownIntegration());
    for (const { name, area, quantifiable } of integration.peaks) {
      if (!quantifiable) continue;
      const { low, high } = area.interval();
      const shown = new RegExp(`${name ?? "9.42 min"} [\\d.]+ ([\\d.]+) ± ([\\d.]+) `).exec(text);
      expect(Number(shown?.[1])).toBeCloseTo(area.value, 4);
      expect(Math.abs(Number(shown?.[2]) - (high - low) / 2)).toBeLessThan(0.04 * (high - low));
    }
    expect(text).toContain("baseline choice (100 % of u²)");
  });

  it("the residual is the record less baseline and fits, and is left out under summed peaks", () => {
    const trace = readIntegration(integration);
    const rest = leftOver(trace);
    const at = (t: number) => trace.time.findIndex((each) => each >= t);
    expect(rest[at(4)]).toBeNaN();
    // Under the pair that was fitted with the very shapes it was made of only noise is left.
    const pair = rest.slice(at(6.9), at(7.6));
    expect(Math.max(...pair.map(Math.abs))).toBeLessThan(0.008);
    const sum = sumOfParts(trace);
    expect(Math.abs(sum[at(7.02)] - trace.signal[at(7.02)])).toBeLessThan(0.008);
    expect(sum[at(2.62)]).toBeNaN();
  });

  it("without a peak says so", async () => {
    const none = { ...integration, peaks: [], dips: [] };
    expect(words(await integrationView(none))).toContain("No peak stands out of the noise.");
  });

  it("keeps markup in names, rules and reasons out of the page", async () => {
    const hostile = "<img src=x onerror=alert(1)>";
    const peaks = integration.peaks.map((peak) => ({
      ...peak,
      name: hostile,
      rule: hostile as PeakRule,
      because: hostile,
      refusal: { reason: hostile, advice: hostile, estimatedError: 1 },
    }));
    const bundle = await integrationView({ ...integration, peaks });
    expect(`${bundle["text/html"]}${bundle["image/svg+xml"]}`).not.toContain("<img");
  });
});

describe("a shown fit", () => {
  it("says whether it converged and why it ended, a failure in bold", async () => {
    expect(words(await shownFit())).toContain(`converged after ${fit.iterations} steps (${fit.reason})`);
    const failed = { ...fit, converged: false, reason: "no step lowers the sum of squares" };
    const html = String((await fittedPeaksView(failed))["text/html"]);
    expect(html).toMatch(/<strong>2 peaks [^<]*did not converge \(no step lowers the sum of squares\)/);
  });

  it("shows areas and widths of the object, and the warnings", async () => {
    const text = words(await shownFit());
    for (const [k, peak] of fit.peaks.entries()) {
      const [, apex, area] = new RegExp(` ${k + 1} (\\d\\.\\d{3}) (\\d\\.\\d+) ± `).exec(text) ?? [];
      expect(Number(apex)).toBeCloseTo(peak.retentionTime, 3);
      expect(Number(area)).toBeCloseTo(peak.area.value, 4);
    }
    for (const warning of fit.diagnostics.warnings) expect(text).toContain(warning.slice(1).split(" (")[0]);
    expect(fit.diagnostics.warnings.length).toBeGreaterThan(0);
  });

  it("leaves over what the object calls residuals", () => {
    const rest = leftOver(readFit(fit));
    const sum = rest.reduce((total, value) => total + value * value, 0);
    expect(Math.sqrt(sum / fit.dof)).toBeCloseTo(fit.residualStandardDeviation, 7);
  });

  it("shows the covariance as correlations", async () => {
    const html = String((await shownFit())["text/html"]);
    const [a, b] = ["area 1", "area 2"].map((name) => fit.parameters.indexOf(name));
    const r = fit.covariance[a][b] / Math.sqrt(fit.covariance[a][a] * fit.covariance[b][b]);
    const row = /<th scope="row" title="area 2">A₂<\/th>.*?<\/tr>/s.exec(html)?.[0] ?? "";
    expect(row).toContain(r.toFixed(2).replace("-", "−"));
  });

  it("says which parameters can hardly be told apart, strongest first", () => {
    const covariance = [
      [1, 0.95, 0],
      [0.95, 1, -0.99],
      [0, -0.99, 1],
    ];
    const said = strongCorrelations({ parameters: ["area 1", "sigma", "tau"], covariance });
    expect(said).toBe("Hardly told apart: σ with τ (−0.990), A₁ with σ (0.950).");
    const loose = {
      parameters: ["area 1", "mu 12"],
      covariance: [
        [1, 0.2],
        [0.2, 1],
      ],
    };
    expect(strongCorrelations(loose)).toContain("No two parameters");
    expect(parameterSymbol("mu 12")).toBe("μ₁₂");
  });

  it.each([
    [0.9, "a pattern that no peak explains"],
    [2.02, "Neighbouring residuals do not know of each other"],
    [3.1, "Neighbouring residuals alternate"],
  ])("of a Durbin–Watson figure of %f it says: %s", (durbinWatson, said) => {
    const changed = { ...fit, diagnostics: { ...fit.diagnostics, durbinWatson } };
    expect(diagnosticWords(changed).join(" ")).toContain(said);
  });

  it("a choice of the number of peaks shows every candidate with its verdict", async () => {
    const choice = realPeakCount();
    const text = words(await shownCount());
    for (const { peaks, bic, accepted, reason } of choice.candidates) {
      expect(text).toContain(`${peaks} ${bic.toFixed(1).replace("-", "−")}`);
      expect(text).toContain(`${accepted ? "accepted" : "refused"}: ${reason}`);
    }
  });

  it("a joint fit shows one small picture for each injection and what they share", async () => {
    const joint = realJointFit();
    const bundle = await shownJoint();
    expect(String(bundle["image/svg+xml"]).match(/class="ib-sum"/g)).toHaveLength(joint.fits.length);
    const [ratio, retention] = [joint.shared.tauOverSigma[1], joint.shared.relativeRetention[1]];
    expect(words(bundle)).toContain(`peak 2 ${ratio.toFixed(3)} ${retention.toFixed(4)}`);
  });
});

describe("a shown baseline", () => {
  it("has its weights in the strip and its stiffness in words", async () => {
    const bundle = await shownBaseline();
    expect(words(bundle)).toContain("Stiffness λ from σ = 6 s at 5 Hz, k = 2: (k·σ·f)⁴ = 1.3 × 10⁷.");
    expect(String(bundle["image/svg+xml"])).toContain(">weight: 1 baseline, 0 peak<");
  });

  it("says that λ was given by hand where it was, and that it has not settled where it has not", async () => {
    const changed = { ...realBaseline(), stiffness: undefined, converged: false };
    expect(words(await baselineView(changed))).toMatch(/not settled after \d+ rounds.*given by hand/);
  });

  it("without weights has no strip", async () => {
    const joined = {
      ...realBaseline(),
      method: "anchored" as const,
      weights: new Float64Array(0),
      lambda: undefined,
    };
    expect(String((await baselineView(joined))["image/svg+xml"])).not.toContain("weight");
  });
});

describe("a shown blank subtraction", () => {
  it("says how the blank was moved, and whether it was of use", async () => {
    const { gain, reason } = realBlankSubtraction();
    const text = words(await shownBlank());
    expect(text).toContain("The blank is subtracted. It lowers the spread between the peaks from");
    expect(text).toContain(`multiplied by ${gain.toFixed(3)} and `);
    const refused = { ...realBlankSubtraction(), accepted: false, reason };
    expect(words(await blankSubtractionView(refused))).toContain("The blank is not subtracted.");
  });
});

describe("shown noise", () => {
  it("names the window of every figure and leaves out what is not there", async () => {
    const noise = realNoise(5);
    const text = words(await shownNoise());
    expect(text).toContain(`short-term noise ${noise.shortTerm.toPrecision(3)} µS/cm each 1 min`);
    expect(text).not.toContain("long-term noise");
    expect(text).toContain("1501 samples at 5 Hz");
    expect(words(await noiseView({ ...noise, longTerm: 0.01 }))).toContain(
      "long-term noise 0.0100 µS/cm each 10 min",
    );
  });

  it("its picture has a box for each minute", async () => {
    const spec = (await shownNoise())["application/vnd.vegalite.v5+json"] as {
      layer: { data: { values: { low: number; high: number }[] } }[];
    };
    const boxes = spec.layer[0].data.values;
    expect(boxes).toHaveLength(5);
    expect(boxes.every(({ low, high }) => low < 0.01 && high > low)).toBe(true);
  });

  it("an autocovariance says how many readings count as one", async () => {
    const noise = realAutocovariance();
    const text = words(await shownMemory());
    expect(text).toContain(`${Math.round(1 / noise.effectiveFraction)} of them count as one independent`);
    expect(words(await autocovarianceView({ ...noise, effectiveFraction: 1 }))).toContain(
      "each counts in full",
    );
  });

  it("h stands with its window and sampling rate", () => {
    const text = words(pharmacopoeialNoiseView(realPharmacopoeialNoise()));
    expect(text).toContain(
      `h = ${realPharmacopoeialNoise().h.toPrecision(3)} µS/cm , highest − lowest of the blank, 6.60 to 7.40 min, 241 samples at 5 Hz`,
    );
  });
});

describe("shown figures of a peak", () => {
  it("stand with formula and standard, and hold the numbers of the object", () => {
    const figures = inventedFigures();
    const text = words(peakFiguresView(figures));
    expect(text).toContain(
      `plates, half height ${figures.plateNumber.toFixed(0)} 5.545 (t/W½)² USP &lt;621&gt;, Ph. Eur. 2.2.46`,
    );
    expect(text).toContain(
      `retention factor ${figures.retentionFactor?.toPrecision(3)} k = (t − t₀)/t₀ IUPAC 1993`,
    );
    expect(text).toContain(`asymmetry at 10 % ${figures.asymmetry.toPrecision(3)}`);
  });

  it("say by how much half-height plates flatter a tailing peak, and nothing of a Gaussian", () => {
    const { plateNumber, plateNumberFoleyDorsey } = inventedFigures();
    const excess = (100 * (plateNumber / plateNumberFoleyDorsey - 1)).toFixed(0);
    expect(words(peakFiguresView(inventedFigures()))).toContain(`flatter it by ${excess} % against`);
    const gaussian = peakFigures({ retentionTime: 7, sigma: 0.08, tau: 0 });
    const text = words(peakFiguresView(gaussian));
    expect(text).not.toContain("flatter");
    expect(text).not.toContain("retention factor");
  });

  it("come from the object itself, as every front end asks for them", async () => {
    registerAllViews();
    const figures = inventedFigures() as PeakFigures & { [DISPLAY](): Promise<DisplayBundle> };
    expect(await figures[DISPLAY]()).toEqual(peakFiguresView(figures));
  });

  it("that a record does not show are a dash", () => {
    const text = words(peakFiguresView({ ...inventedFigures(), tailing: Number.NaN }));
    expect(text).toContain("symmetry factor at 5 % – W₀.₀₅");
  });
});
