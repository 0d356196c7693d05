import { whyThisModel } from "../../batch/finding/model-words.js";
import type { IonCalibration } from "../../batch/types.js";
import type { Calibration } from "../../calibration/response/types.js";
import type { DisplayBundle } from "../../display.js";
import { calibrationChart } from "../chart/calibration-chart.js";
import { numberColumn } from "../page/result-cell.js";
import { type Content, html } from "../text/markup.js";
import { limitText, quantity, significant, trimmed } from "../text/numbers.js";
import { sentenceCase } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";

/** The calibration of an ion in a batch: curve, relative errors, limits and verdict. */
export async function ionCalibrationView(calibration: IonCalibration): Promise<DisplayBundle> {
  const { ion, curve, lod, loq, low, high, verdict, limitDefinition } = calibration;
  const text = [
    `${ion}: ${verdict}`,
    String(curve),
    `range ${trimmed(low, 3)} to ${quantity(trimmed(high, 3), "mg/L")}`,
    `detection ${quantity(limitText(lod), "mg/L")}, quantification ${quantity(limitText(loq), "mg/L")}: ${limitDefinition}`,
  ];
  return chartAmongWords(text.join("\n"), calibrationChart(calibration, 300), (chart) =>
    calibrationBody(calibration, chart),
  );
}

/** Why this curve, and its range and limits in their order, the ones that decide a status in words. */
function calibrationBody(calibration: IonCalibration, chart: Content): Content {
  const { ion, verdict, criticalValue, lod, loq, mdl, low, high, limitDefinition } = calibration;
  const rungs: readonly (readonly [number | undefined, string, string])[] = [
    [criticalValue, "critical value", "above it the ion is declared present"],
    [lod, "detection limit", "a content that is found with 95 % probability"],
    [mdl, "method detection limit", "from replicates (40 CFR 136 Appendix B)"],
    [loq, "quantification limit", "above it a number is quantified"],
    [low, "lowest standard", "where the calibrated range begins"],
    [high, "highest standard", "above it a sample is to be diluted"],
  ];
  const there = rungs.filter(([at]) => at !== undefined);
  const column = numberColumn(there.map(([at], index) => limitOrLevel(at as number, there[index][1])));
  const rows = there.map(
    ([, name, meaning], index) =>
      html`<tr><th scope="row">${name}</th>${column[index]}<td class="text">${meaning}</td></tr>\n`,
  );
  return html`<p><strong>Calibration of ${ion}: ${verdict}.</strong></p>
<p>${whyThisModel(calibration).join(" ")}</p>
<div class="scroll">${chart}</div>
<div class="scroll"><table><thead><tr><th>limit in force</th><th class="num">as injected / (mg/L)</th><th>meaning</th></tr></thead><tbody>${rows}</tbody></table></div>
<p class="note">${sentenceCase(limitDefinition)}.</p>
${fitTable(calibration.curve)}`;
}

/** The tests of fit with their figures; undefined where the standards allow none. */
function fitTable(curve: Calibration): Content {
  const repeated = curve.lackOfFit();
  const tests = [
    ...(repeated ? [{ name: "lack of fit against repeated injections", ...repeated }] : []),
    ...(mayBend(curve) ? [{ name: "straight line against parabola (Mandel)", ...curve.mandel() }] : []),
  ];
  if (tests.length === 0) return undefined;
  const rows = tests.map(
    ({ name, F, dfNumerator, dfDenominator, p }) =>
      html`<tr><th scope="row" class="text">${name}</th><td class="num">${significant(F, 2)}</td><td class="num">${dfNumerator}, ${dfDenominator}</td><td class="num">${p < 0.001 ? "< 0.001" : significant(p, 2)}</td></tr>\n`,
  );
  return html`<div class="scroll"><table><thead><tr><th>test of fit</th><th class="num">F</th><th class="num">degrees of freedom</th><th class="num">p</th></tr></thead><tbody>${rows}</tbody></table></div>`;
}

/** Whether a line and a parabola can be compared: both are wanted, on four levels or more. */
function mayBend({ model, points }: Calibration): boolean {
  const levels = new Set(points.map((point) => point.concentration)).size;
  return (model === "linear" || model === "quadratic") && levels >= 4;
}

/** A limit is rounded up, so that it never promises more than it keeps; a level is what it is. */
function limitOrLevel(at: number, name: string): string {
  return name.endsWith("standard") ? trimmed(at, 3) : limitText(at);
}
