import { type FitTest, fitTests } from "../../calibration/curve/fit-tests.js";
import type { BackCalculated, Calibration, CalibrationWarning } from "../../calibration/response/types.js";
import type { DisplayBundle } from "../../display.js";
import { curveChart } from "../chart/calibration-chart.js";
import { type Content, html } from "../text/markup.js";
import { quantity, signed, significant, trimmed } from "../text/numbers.js";
import { sentenceCase } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";

/** A curve that stands alone: its equation and reason, the plot, what its standards read back, and its tests of fit. */
export function curveView(curve: Calibration): Promise<DisplayBundle> {
  return chartAmongWords(String(curve), curveChart(curve, 300), (chart) => curveBody(curve, chart));
}

/** What is said of a curve, around its plot. */
export function curveBody(curve: Calibration, chart: Content): Content {
  return html`<p><strong>${curve.ion === undefined ? "Calibration" : `Calibration of ${curve.ion}`}: ${MODELS[curve.model]}, weights ${weightWords(curve)}.</strong></p>
${curve.reason === undefined ? undefined : html`<p>${curve.reason}</p>`}
${curve.warnings.map(warning)}
<div class="scroll">${chart}</div>
${coefficientTable(curve)}
${backTable(curve)}
${testTable(fitTests(curve))}`;
}

const MODELS: Readonly<Record<Calibration["model"], string>> = {
  linear: "straight line",
  "through-zero": "straight line through zero",
  quadratic: "parabola",
  weak: "curve of a weak acid or base",
  physical: "curve of ionic equilibrium",
};

function weightWords({ weighting, varianceFunction }: Calibration): string {
  if (!varianceFunction) return weighting.replace("^2", "²");
  const { s0, theta } = varianceFunction;
  return `from the scatter √(${significant(s0, 2)}² + (${significant(100 * theta, 2)} %)²)`;
}

function warning({ message }: CalibrationWarning): Content {
  return html`<p><strong>⚠ ${message}.</strong></p>`;
}

function coefficientTable(curve: Calibration): Content {
  const rows = curve.coefficients.flatMap((value, k) => {
    if (curve.model === "through-zero" && k === 0) return [];
    return [
      html`<tr><th scope="row">${coefficientName(curve, k)}</th><td class="num">${significant(value, 6)}</td><td class="num">${significant(curve.standardErrors[k], 2)}</td></tr>\n`,
    ];
  });
  return html`<div class="scroll"><table><thead><tr><th>${FORMULAS[curve.model]}</th><th class="num">value</th><th class="num">standard error</th></tr></thead><tbody>${rows}</tbody></table></div>`;
}

const FORMULAS: Readonly<Record<Calibration["model"], string>> = {
  linear: "y = b₀ + b₁x",
  "through-zero": "y = b₁x",
  quadratic: "y = b₀ + b₁x + b₂x²",
  weak: "x = a₁y + a₂y²",
  physical: "y = γ·A(x)",
};

function coefficientName({ model }: Calibration, k: number): string {
  if (model === "physical") return "γ";
  return model === "weak" ? `a${"₁₂"[k]}` : `b${"₀₁₂"[k]}`;
}

/** Every reading with what it reads back; those left out with a hollow mark and their reason, as in the plot. */
function backTable(curve: Calibration): Content {
  const used = curve.backCalculated().map((back, i) => ({
    ...back,
    response: curve.points[i].response,
    reason: "",
  }));
  const rows = [...used, ...curve.rejected]
    .sort((a, b) => a.concentration - b.concentration)
    .map(
      (each) =>
        html`<tr><td>${each.reason === "" ? "●" : "○"}</td><td class="num">${trimmed(each.concentration, 6)}</td><td class="num">${significant(each.response, 5)}</td><td class="num">${foundText(each)}</td><td class="num">${errorText(each)}</td><td class="text">${each.reason}</td></tr>\n`,
    );
  return html`<div class="scroll"><table><thead><tr><th></th><th class="num">given / (${curve.unit})</th><th class="num">response</th><th class="num">read back / (${curve.unit})</th><th class="num">error / %</th><th>left out because</th></tr></thead><tbody>${rows}</tbody></table></div>
<p class="note">● counts, ○ left out. Relative standard error ${quantity(significant(curve.relativeStandardErrorPercent, 3), "%")}.</p>`;
}

function foundText({ found }: Pick<BackCalculated, "found">): string {
  return Number.isFinite(found) ? significant(found, 4) : "none";
}

function errorText({ relativeErrorPercent }: Pick<BackCalculated, "relativeErrorPercent">): string {
  return Number.isFinite(relativeErrorPercent) ? signed(relativeErrorPercent, 1) : "";
}

/** Tests line by line: statistic, what it is held against, p, verdict and source. */
export function testTable(tests: readonly FitTest[]): Content {
  if (tests.length === 0) return undefined;
  const rows = tests.map(
    ({ test, statistic, critical, p, passed, verdict, source }) =>
      html`<tr><td>${passed ? "✓" : "✗"}</td><th scope="row" class="text">${sentenceCase(test)}</th><td class="num">${statisticText(statistic)}</td><td class="num">${critical === undefined ? "" : statisticText(critical)}</td><td class="num">${chance(p)}</td><td class="text">${verdict}</td><td class="text note">${source}</td></tr>\n`,
  );
  return html`<div class="scroll"><table><thead><tr><th></th><th>test</th><th class="num">statistic</th><th class="num">critical</th><th class="num">p</th><th>verdict</th><th>source</th></tr></thead><tbody>${rows}</tbody></table></div>`;
}

function statisticText(value: number): string {
  if (!Number.isFinite(value)) return "∞";
  return Number.isInteger(value) ? String(value) : significant(value, 3);
}

function chance(p: number | undefined): string {
  if (p === undefined) return "";
  return p < 0.001 ? "< 0.001" : significant(p, 2);
}
