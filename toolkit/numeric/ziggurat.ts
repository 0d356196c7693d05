import { arithmeticExp, arithmeticLog } from "./arithmetic-exp-log.js";

/**
 * The half bell curve f(x) = exp(−x²/2) covered by 256 layers of equal area: 255 rectangles and, at the bottom,
 * one that stands for a rectangle up to TAIL_START plus the tail beyond. A point drawn in a rectangle lies under
 * the curve almost always, and then costs one multiplication.
 *
 * @source G. Marsaglia, W. W. Tsang, J. Stat. Softw. 5 (2000) 8, doi:10.18637/jss.v005.i08. Constants for 256
 *   layers: TAIL_START where 256 layers close exactly at x = 0, LAYER_AREA = r·f(r) + ∫ f beyond r.
 */
export const LAYERS = 256;
export const TAIL_START = 3.654152885361009;
const LAYER_AREA = 0.004928673233974655;

/** A signed draw j of 32 bits and a fraction, −2³¹ … 2³¹, is scaled by this. */
const DRAW_SPAN = 2 ** 31;

/** Width of layer i over 2³¹: j·scale[i] is the deviate. */
export const scale = new Float64Array(LAYERS);
/** |j| below inner[i] lies under the curve for certain. */
export const inner = new Float64Array(LAYERS);
/** Height of the curve at the right edge of layer i (i = 1 … 256); height[0] belongs to the bottom layer. */
export const height = new Float64Array(LAYERS + 1);

export function bellCurve(x: number): number {
  return arithmeticExp(-0.5 * x * x);
}

function fillTables(): void {
  // Edge 0 is the pretended width of the bottom layer, edge 1 the start of the tail, edge 256 is 0.
  const edge = new Float64Array(LAYERS + 1);
  edge[0] = LAYER_AREA / bellCurve(TAIL_START);
  edge[1] = TAIL_START;
  for (let i = 2; i < LAYERS; i++) {
    edge[i] = Math.sqrt(-2 * arithmeticLog(bellCurve(edge[i - 1]) + LAYER_AREA / edge[i - 1]));
  }
  for (let i = 0; i < LAYERS; i++) {
    scale[i] = edge[i] / DRAW_SPAN;
    inner[i] = (edge[i + 1] / edge[i]) * DRAW_SPAN;
    height[i] = bellCurve(edge[i]);
  }
  height[LAYERS] = 1;
}

fillTables();
