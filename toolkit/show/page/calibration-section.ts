import type { IonCalibration, Results } from "../../batch/types.js";
import { calibrationChart } from "../chart/calibration-chart.js";
import { renderSvg, svgForPage } from "../chart/render-svg.js";
import { ionColor } from "../color/ion-colors.js";
import { ionFormula } from "../text/ion-names.js";
import { type Content, html, Markup } from "../text/markup.js";
import { limitText, quantity, significant, trimmed } from "../text/numbers.js";
import { listed } from "../text/words.js";
import { calibrationAnchor, traceAnchor } from "./anchors.js";
import type { PageSection } from "./page-shell.js";
import { numberColumn } from "./result-cell.js";

/** One small chart for each ion: curve, relative errors, range, limits and verdict. */
export async function calibrationSection(results: Results): Promise<PageSection> {
  const figures: Content[] = [];
  for (const calibration of results.calibrations) figures.push(await figure(calibration));
  return {
    id: "calibrations",
    heading: "Calibrations",
    body: html`<p class="note">Both axes of each curve are logarithmic. Points are standards with bars of ± 2 u of the reading, open crosses were left out of the fit. The shaded band is the 95 % interval of the curve alone; below, the same in percent beside the relative error of each standard, found from the curve against given. Dotted lines are the limits in force: critical value, detection limit (LOD) and quantification limit (LOQ).</p>
<div class="charts wide">${figures}</div>`,
  };
}

async function figure(calibration: IonCalibration): Promise<Content> {
  const { ion, channel, curve } = calibration;
  const id = calibrationAnchor(channel, ion);
  const svg = await renderSvg(calibrationChart(calibration));
  const summary = `Calibration of ${ion}: ${calibration.model}, weighting ${calibration.weighting}, ${calibration.verdict}`;
  return html`<figure id="${id}">
<h3 class="ib-${ionColor(ion)}">${ion} <small>${ionFormula(ion)}</small></h3>
${new Markup(svgForPage(svg, id, summary))}
<figcaption><b>${calibration.verdict}</b><br>${modelText(calibration)}, ${trimmed(calibration.low, 3)} to ${quantity(trimmed(calibration.high, 3), "mg/L")}; ${curve.dof} degrees of freedom; relative standard error ${quantity(significant(curve.relativeStandardErrorPercent, 2), "%")}${lackOfFitText(calibration)}${rejectedText(calibration)}${zeroText(calibration)}</figcaption>
</figure>
`;
}

function modelText(calibration: IonCalibration): string {
  const names = {
    linear: "straight line",
    "through-zero": "line through zero",
    quadratic: "parabola",
    weak: "weak-acid curve",
  };
  const weighting =
    calibration.weighting === "none" ? "unweighted" : `weights ${calibration.weighting.replace("^2", "²")}`;
  return `${names[calibration.model]}, ${weighting}`;
}

function lackOfFitText(calibration: IonCalibration): string {
  const test = calibration.curve.lackOfFit();
  if (test === undefined) return "; no replicates, so no test of fit";
  return `; lack of fit F = ${significant(test.F, 2)}, p = ${test.p < 0.001 ? "below 0.001" : significant(test.p, 2)}`;
}

function rejectedText(calibration: IonCalibration): Content {
  const out = calibration.points.filter((point) => point.rejected !== undefined);
  if (out.length === 0) return undefined;
  return out.map(
    (point) =>
      html`<br>Left out: <a href="#${traceAnchor(point.injection)}">${point.injection}</a> (${point.rejected})`,
  );
}

/** What a logarithmic axis cannot show is said. */
function zeroText(calibration: IonCalibration): Content {
  const hidden = calibration.points.filter((point) => !(point.concentration > 0 && point.area > 0));
  if (hidden.length === 0) return undefined;
  return html`<br>Not on a logarithmic axis: ${listed(hidden.map((point) => point.injection))}`;
}

/** The limits in force for each ion, in one table. */
export function limitSection(results: Results): PageSection {
  const { calibrations } = results;
  const withMdl = calibrations.some((each) => each.mdl !== undefined);
  const column = (read: (each: IonCalibration) => number | undefined, write: (value: number) => string) =>
    numberColumn(calibrations.map(read).map((value) => (value === undefined ? "" : write(value))));
  const columns = [
    column((each) => each.criticalValue, limitText),
    column((each) => each.lod, limitText),
    column((each) => each.loq, limitText),
    ...(withMdl ? [column((each) => each.mdl, limitText)] : []),
    column(
      (each) => each.low,
      (value) => trimmed(value, 3),
    ),
    column(
      (each) => each.high,
      (value) => trimmed(value, 3),
    ),
  ];
  const rows = calibrations.map(
    (each, index) =>
      html`<tr><th scope="row"><a href="#${calibrationAnchor(each.channel, each.ion)}">${each.ion}</a></th>${columns.map((cells) => cells[index])}<td class="text">${each.limitDefinition}</td></tr>\n`,
  );
  return {
    id: "limits",
    heading: "Limits in force",
    body: html`<p class="note">As injected, in mg/L, rounded up to two digits; the limits of a sample are these times its dilution and preparation. Above the critical value presence is declared; a content at the detection limit is found with 95 % probability; above the quantification limit a number is quantified.</p>
<div class="scroll wide" tabindex="0" role="region" aria-label="Limits"><table>
<thead><tr><th>ion</th><th class="num">critical value</th><th class="num">detection</th><th class="num">quantification</th>${withMdl && html`<th class="num">method detection limit</th>`}<th class="num">lowest standard</th><th class="num">highest</th><th>definition</th></tr></thead>
<tbody>${rows}</tbody></table></div>`,
  };
}
