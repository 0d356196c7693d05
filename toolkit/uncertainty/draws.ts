import { createRandom } from "../numeric/random.js";
import { bellCurve, height, inner, scale, TAIL_START } from "../numeric/ziggurat.js";
import type { SourceShape } from "./source.js";

/** Draws are made in blocks of so many trials: small enough for the arrays of some ten sources to stay in cache. */
export const BLOCK = 2048;

const UNIT = 2 ** -32;

/** |draw| below this lies under the curve for certain; one less than the exact bound, for the half added to a draw. */
const innerWhole = Int32Array.from(inner, (bound) => Math.max(0, Math.floor(bound) - 1));

/**
 * Blocks of random deviates for Monte Carlo trials, every one scaled to a standard uncertainty of 1 (a t deviate to
 * the u of its estimate). Its words come from xoshiro128**, started by `createRandom(seed)`: four 32-bit additions
 * and shifts a word where the 64-bit generator of the simulations takes some forty, which would be two thirds of
 * the time of a run. Uniform parts have 32 bits, five orders finer than the sampling error of a million trials.
 *
 * @source D. Blackman, S. Vigna, ACM Trans. Math. Softw. 47 (2021) 36 (xoshiro128**); G. Marsaglia, W. W. Tsang,
 *   J. Stat. Softw. 5 (2000) 8 (normal deviates) and ACM Trans. Math. Softw. 26 (2000) 363 (gamma deviates)
 */
export class Draws {
  private readonly state: Int32Array;
  private readonly words = new Int32Array(2 * BLOCK);
  private readonly single = new Int32Array(1);

  constructor(seed: number) {
    const random = createRandom(seed);
    this.state = Int32Array.from({ length: 4 }, () => random.uint32() | 0);
  }

  /** The first n places of `out` become draws of a shape whose limits do not depend on an estimate. */
  fillShape(shape: SourceShape, out: Float64Array, n: number): void {
    switch (shape.kind) {
      case "normal":
        this.fillNormal(out, n);
        break;
      case "rectangular":
        this.fillRectangular(out, n);
        break;
      case "triangular":
        this.fillTrapezoidal(0, out, n);
        break;
      case "trapezoidal":
        this.fillTrapezoidal(shape.topRatio, out, n);
        break;
      case "arcsine":
        this.fillArcsine(out, n);
        break;
      case "curvilinear-trapezoid":
        this.fillCurvilinearTrapezoid(shape.inexactness, out, n);
        break;
    }
  }

  fillNormal(out: Float64Array, n: number): void {
    const words = this.fillWords(this.words, n + Math.ceil(n / 4));
    const layers = new Uint8Array(words.buffer, 4 * n, n);
    for (let i = 0; i < n; i++) {
      // A byte of its own chooses the layer, so draw and layer are independent.
      const layer = layers[i];
      const draw = words[i];
      const x = (draw + 0.5) * scale[layer];
      // Two stores, not one of either number: the result of a call is boxed, and x would have to be so, too.
      if (Math.abs(draw) < innerWhole[layer]) out[i] = x;
      else out[i] = this.normalAtEdge(layer, x);
    }
  }

  /** √(ν/χ²): times a normal deviate it makes one of the t distribution with ν degrees of freedom, ν ≥ 1. */
  fillStudentFactor(dof: number, out: Float64Array, n: number): void {
    // χ² = 2·gamma(ν/2). Below shape 1 a gamma deviate is one of shape + 1 times uniform^(1/shape).
    const boosted = dof < 2;
    const d = (boosted ? dof / 2 + 1 : dof / 2) - 1 / 3;
    const c = 1 / Math.sqrt(9 * d);
    this.fillNormal(out, n);
    const words = this.fillWords(this.words, n);
    for (let i = 0; i < n; i++) {
      const x = out[i];
      const v = cubed(1 + c * x);
      const squeezed = (words[i] >>> 0) * UNIT < 1 - 0.0331 * x * x * x * x;
      let gamma = squeezed && v > 0 ? d * v : this.gammaAtEdge(d, c, x, ((words[i] >>> 0) + 0.5) * UNIT);
      if (boosted) gamma *= this.uniform() ** (2 / dof);
      out[i] = Math.sqrt(dof / (2 * gamma));
    }
  }

  private fillRectangular(out: Float64Array, n: number): void {
    const words = this.fillWords(this.words, n);
    const span = 2 * UNIT * Math.sqrt(3);
    for (let i = 0; i < n; i++) out[i] = (words[i] + 0.5) * span;
  }

  /** Sum of two rectangles of half-widths (1 + β)/2 and (1 − β)/2: a triangle for β = 0. */
  private fillTrapezoidal(topRatio: number, out: Float64Array, n: number): void {
    const words = this.fillWords(this.words, 2 * n);
    const toUnitDeviation = 2 * UNIT * Math.sqrt(6 / (1 + topRatio ** 2));
    const wide = (toUnitDeviation * (1 + topRatio)) / 2;
    const narrow = (toUnitDeviation * (1 - topRatio)) / 2;
    for (let i = 0; i < n; i++) out[i] = (words[2 * i] + 0.5) * wide + (words[2 * i + 1] + 0.5) * narrow;
  }

  private fillArcsine(out: Float64Array, n: number): void {
    const words = this.fillWords(this.words, n);
    for (let i = 0; i < n; i++) out[i] = Math.SQRT2 * Math.sin((words[i] + 0.5) * (2 * Math.PI * UNIT));
  }

  private fillCurvilinearTrapezoid(inexactness: number, out: Float64Array, n: number): void {
    const words = this.fillWords(this.words, 2 * n);
    const toUnitDeviation = 1 / Math.sqrt(1 / 3 + inexactness ** 2 / 9);
    for (let i = 0; i < n; i++) {
      const halfWidth = 1 + inexactness * 2 * UNIT * (words[2 * i] + 0.5);
      out[i] = toUnitDeviation * halfWidth * 2 * UNIT * (words[2 * i + 1] + 0.5);
    }
  }

  /** The rare rest of the ziggurat: the tail, or the wedge between a layer's rectangle and the curve. */
  private normalAtEdge(layer: number, x: number): number {
    if (layer === 0) return Math.sign(x) * this.normalTail();
    const floor = height[layer];
    return floor + this.uniform() * (height[layer + 1] - floor) < bellCurve(x) ? x : this.normal();
  }

  private normalTail(): number {
    for (;;) {
      const beyond = -Math.log(this.uniform()) / TAIL_START;
      if (-2 * Math.log(this.uniform()) > beyond * beyond) return TAIL_START + beyond;
    }
  }

  private normal(): number {
    const layer = this.word() & 255;
    const draw = this.word();
    const x = (draw + 0.5) * scale[layer];
    return Math.abs(draw) < innerWhole[layer] ? x : this.normalAtEdge(layer, x);
  }

  /** The gamma rejection in full, for the few candidates that the squeeze does not accept at once. */
  private gammaAtEdge(d: number, c: number, candidate: number, chance: number): number {
    let [x, u] = [candidate, chance];
    for (;;) {
      const v = cubed(1 + c * x);
      if (v > 0 && Math.log(u) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
      x = this.normal();
      u = this.uniform();
    }
  }

  private uniform(): number {
    return ((this.word() >>> 0) + 0.5) * UNIT;
  }

  private word(): number {
    return this.fillWords(this.single, 1)[0];
  }

  private fillWords(words: Int32Array, n: number): Int32Array {
    const state = this.state;
    // In local variables the state stays in registers for the whole block.
    let [a, b, c, d] = [state[0], state[1], state[2], state[3]];
    for (let i = 0; i < n; i++) {
      const times5 = Math.imul(b, 5);
      words[i] = Math.imul((times5 << 7) | (times5 >>> 25), 9);
      const shifted = b << 9;
      c ^= a;
      d ^= b;
      b ^= c;
      a ^= d;
      c ^= shifted;
      d = (d << 11) | (d >>> 21);
    }
    state[0] = a;
    state[1] = b;
    state[2] = c;
    state[3] = d;
    return words;
  }
}

/** A product: the power operator would cost more than all the rest of a deviate. */
function cubed(x: number): number {
  return x * x * x;
}
