import type { DisplayBundle } from "../../display.js";
import type { JointFit } from "../../peaks/fitting/fit-injections.js";
import { renderPng } from "../chart/render-png.js";
import { type Content, html, Markup } from "../text/markup.js";
import { fixed, significant } from "../text/numbers.js";
import { counted } from "../text/words.js";
import { type GridPicture, pictureGrid } from "../trace/picture-grid.js";
import { type FitCurves, readFit } from "../trace/read-fit.js";
import { thinTrace } from "../trace/thin-trace.js";
import { drawWhole } from "../trace/trace-figure.js";
import { literalStyle } from "../trace/trace-style.js";
import { type Column, columnTable } from "./column-table.js";
import { strongCorrelations } from "./correlation-table.js";
import { htmlBlock } from "./html-block.js";

/** Width of a small picture in a page, px. */
const SMALL = 350;
/** Small pictures in one still picture; more could not be read. */
const MOST = 12;

/** Small multiples of the injections, their areas side by side, and what they share. */
export async function jointFitView(joint: JointFit): Promise<DisplayBundle> {
  const title = `${counted(joint.fits.length, "injection")} fitted together`;
  const end = `${joint.converged ? "Converged" : "Did not converge"}: ${joint.reason}.`;
  const pictures = joint.fits.map(
    (fit): GridPicture => ({ title: fit.chromatogram.id, trace: thinTrace(readFit(fit), 8000) }),
  );
  const small = pictures.map(
    (picture) =>
      html`<div><small>${picture.title}</small>${new Markup(drawWhole(picture.trace, SMALL))}</div>\n`,
  );
  const still = pictures.slice(0, MOST);
  return {
    "text/plain": [`${title}. ${end}`, ...joint.fits.map(areaLine)].join("\n"),
    "text/html": htmlBlock(html`<p><strong>${title}.</strong> ${end}</p>
<div class="many">${small}</div>
${areaTable(joint.fits)}
${sharedTable(joint)}
<p>${strongCorrelations(joint)}</p>
<p class="note">Uncertainties: 95 %. The shape is the same in all injections; areas, backgrounds and one shift each are not.</p>`),
    "image/svg+xml": pictureGrid(still),
    "image/png": await renderPng(pictureGrid(still, 2, literalStyle())),
  };
}

function areaLine({ chromatogram, peaks }: FitCurves): string {
  return `  ${chromatogram.id}: ${peaks.map(({ area }) => String(area)).join("; ")}`;
}

function areaTable(fits: readonly FitCurves[]): Content {
  const most = Math.max(0, ...fits.map(({ peaks }) => peaks.length));
  const columns = Array.from({ length: most }, (_, k): Column => {
    const areas = fits.map(({ peaks }) => peaks[k]?.area);
    const unit = areas.find((area) => area !== undefined)?.unit ?? "";
    return { title: `area ${k + 1}`, unit, cells: { measured: areas } };
  });
  const names = fits.map(({ chromatogram }) => chromatogram.id);
  const scatter = fits.map(({ residualStandardDeviation }) => significant(residualStandardDeviation, 2));
  return columnTable([
    { title: "injection", cells: { words: names } },
    ...columns,
    { title: "residual s.d.", unit: fits[0]?.chromatogram.signalUnit ?? "", cells: { numbers: scatter } },
  ]);
}

function sharedTable({ shared }: JointFit): Content {
  const { tauOverSigma, relativeRetention } = shared;
  return columnTable([
    { title: "shared", cells: { words: tauOverSigma.map((_, k) => `peak ${k + 1}`) } },
    { title: "τ/σ", cells: { numbers: tauOverSigma.map((ratio) => fixed(ratio, 3)) } },
    { title: "relative retention", cells: { numbers: relativeRetention.map((ratio) => fixed(ratio, 4)) } },
  ]);
}
