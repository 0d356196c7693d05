import { INK } from "../chart/spec.js";
import type { DrawnTrace } from "./drawn-trace.js";
import { drawWhole } from "./trace-figure.js";
import { svgText } from "./trace-paths.js";
import { standaloneStyle } from "./trace-style.js";

/** One small picture with the words above it. */
export interface GridPicture {
  readonly title: string;
  readonly trace: DrawnTrace;
}

/** Width of a small picture, room above it for its title, and paper around it, px. */
const CELL = 360;
const TITLE = 22;
const GAP = 16;

/**
 * Records side by side as one picture that needs nothing around it.
 *
 * @param rules how its parts look; `literalStyle` for drawers that know no custom properties
 */
export function pictureGrid(
  pictures: readonly GridPicture[],
  columns = 2,
  rules: string = standaloneStyle(),
): string {
  const drawn = pictures.map(({ trace }) => drawWhole(trace, CELL));
  const heights = drawn.map((svg) => Number(/ height="(\d+)"/.exec(svg)?.[1] ?? 0));
  let [body, top] = ["", GAP];
  for (let row = 0; row < pictures.length; row += columns) {
    const cells = drawn.slice(row, row + columns);
    cells.forEach((svg, column) => {
      const left = GAP + column * (CELL + GAP);
      const title = svgText(pictures[row + column].title);
      body += `<text class="ib-tick" x="${left}" y="${top + 12}">${title}</text>`;
      body += svg.replace(/^<svg class="ib-svg"/, `<svg x="${left}" y="${top + TITLE}"`);
    });
    top += TITLE + GAP + Math.max(...heights.slice(row, row + columns));
  }
  const wide = GAP + Math.min(columns, pictures.length) * (CELL + GAP);
  return `<svg class="ib-svg" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${wide} ${top}" width="${wide}" height="${top}"><style>${rules}</style><rect width="100%" height="100%" fill="${INK.paper}"/>${body}</svg>`;
}
