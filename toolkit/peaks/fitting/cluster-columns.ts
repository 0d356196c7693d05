import { Arena } from "../../numeric/scratch.js";
import { type PeakKernel, type TimeAxis, timeAxis } from "../shape/peak-kernel.js";
import { dot, dotBlock, dotTriples } from "./column-dots.js";
import { AreaMemory, solveAreas } from "./signed-areas.js";

export interface ClusterLayout {
  /** Number of readings. */
  readonly n: number;
  readonly kernel: PeakKernel;
  readonly peaks: number;
  /** −1 for none, 0 constant, 1 straight. */
  readonly backgroundDegree: number;
}

export interface ClusterWindow {
  readonly time: Float64Array;
  readonly y: Float64Array;
  /** Peaks whose area may be negative. */
  readonly signed?: readonly boolean[] | undefined;
}

/**
 * One window of a fit as columns: each peak's shape and derivatives, the background, their products, and the areas
 * and background that follow the readings best.
 *
 * All arrays are allocated once for a layout, by whoever fits such a window first (`columnsFor`), and products are taken
 * over overlaps only. Columns are numbered k·perPeak + c for peak k (c = 0 the shape, then its derivatives), the
 * background behind them.
 */
export class ClusterColumns {
  readonly n: number;
  readonly peaks: number;
  readonly perPeak: number;
  readonly size: number;
  /** Number of areas and background coefficients. */
  readonly linear: number;
  /** Areas, then background (constant; slope about the middle, over half the window). */
  readonly coefficients: Float64Array;
  readonly residual: Float64Array;
  /** Products of all columns with one another, size × size, and with the residual; after `multiply`. */
  readonly gram: Float64Array;
  readonly facing: Float64Array;
  private y: Float64Array;
  private axis: TimeAxis;
  private readonly kernel: PeakKernel;
  private readonly columns: readonly (readonly Float64Array[])[];
  private readonly background: readonly Float64Array[];
  private readonly arena: Arena;
  /** Each peak's derivatives, and what they are multiplied by reading by reading: background and residual. */
  private readonly derivatives: readonly (readonly Float64Array[])[];
  private readonly beside: readonly Float64Array[];
  private readonly reaches: readonly Int32Array[];
  /** Where each shape exceeds CORE of its height: products with the readings count from there. */
  private readonly cores: readonly Int32Array[];
  /** Where it exceeds HEART of its height: products that only steer the search count from there. */
  private readonly hearts: readonly Int32Array[];
  /** Readings per step that each peak is seen by as well as by all, as far as it fades within the window. */
  private readonly strides: Int32Array;
  /** Share of its height at which each peak's heart ends. */
  private readonly edges: Float64Array;
  private readonly areaGram: Float64Array;
  private readonly areaRight: Float64Array;
  private readonly mayBeNegative: boolean[];
  private readonly areaMemory: AreaMemory;
  /** Products of one peak's columns with what stands beside them. */
  private readonly across: Float64Array;
  private multiplied = false;

  constructor({ n, kernel, peaks, backgroundDegree }: ClusterLayout) {
    this.n = n;
    this.peaks = peaks;
    this.kernel = kernel;
    this.perPeak = 3 + kernel.further.length;
    this.linear = peaks + backgroundDegree + 1;
    this.size = peaks * this.perPeak + backgroundDegree + 1;
    const { linear, size, perPeak } = this;
    const straight = backgroundDegree + 1;
    this.arena = new Arena(
      (peaks * perPeak + straight + 1) * n +
        size * (size + 1) +
        linear * (linear + 2) +
        perPeak * (straight + 1) +
        AreaMemory.room(linear),
    );
    const { arena } = this;
    this.columns = Array.from({ length: peaks }, () => Array.from({ length: perPeak }, () => arena.take(n)));
    this.background = Array.from({ length: straight }, () => arena.take(n));
    this.reaches = Array.from({ length: peaks }, () => new Int32Array(2));
    this.cores = Array.from({ length: peaks }, () => new Int32Array(2));
    this.hearts = Array.from({ length: peaks }, () => new Int32Array(2));
    this.residual = arena.take(n);
    this.derivatives = this.columns.map((own) => own.slice(1));
    this.beside = [...this.background, this.residual];
    this.strides = new Int32Array(peaks);
    this.edges = new Float64Array(peaks);
    this.coefficients = arena.takeZeros(linear);
    this.gram = arena.takeZeros(size * size);
    this.facing = arena.takeZeros(size);
    this.areaGram = arena.takeZeros(linear * linear);
    this.areaRight = arena.takeZeros(linear);
    this.areaMemory = new AreaMemory(linear, arena);
    this.across = arena.takeZeros(perPeak * (straight + 1));
    this.mayBeNegative = new Array<boolean>(linear).fill(true);
    this.y = this.residual;
    this.axis = { time: this.residual, interval: undefined };
  }

  hasLayout({ n, kernel, peaks, backgroundDegree }: ClusterLayout): boolean {
    return (
      n === this.n &&
      peaks === this.peaks &&
      kernel === this.kernel &&
      backgroundDegree + 1 === this.background.length
    );
  }

  /** Begins with the readings of a window; peaks are to be placed. */
  begin({ time, y, signed }: ClusterWindow): void {
    const { n, peaks, background } = this;
    this.y = y;
    this.axis = timeAxis(time);
    for (let k = 0; k < peaks; k++) this.mayBeNegative[k] = signed?.[k] ?? false;
    writeBackground(time, background);
    for (let a = 0; a < background.length; a++) {
      this.areaRight[peaks + a] = dot(background[a], y, 0, n - 1);
      for (let b = 0; b <= a; b++)
        this.setAreaProduct(peaks + a, peaks + b, dot(background[a], background[b], 0, n - 1));
    }
  }

  /** Number of the column that belongs to a linear coefficient. */
  columnOf(linear: number): number {
    return linear < this.peaks ? linear * this.perPeak : this.peaks * (this.perPeak - 1) + linear;
  }

  /** Writes peak k at these parameters, [μ, σ, …]. */
  place(k: number, parameters: Float64Array): void {
    const shape = this.columns[k][0];
    const heart = this.hearts[k];
    this.kernel.write(this.axis, parameters, this.columns[k], this.reaches[k]);
    const stride = this.latticeOf(parameters[1]);
    const height = heightOf(shape, this.reaches[k], stride);
    narrow(shape, CORE * height, this.reaches[k], this.cores[k]);
    narrow(shape, HEART * height, this.cores[k], heart);
    this.strides[k] = stride;
    this.edges[k] = Math.max(shape[heart[0]], shape[heart[1]]) / height;
    this.multiplied = false;
  }

  /** Lets the window go. */
  forget(): void {
    this.y = this.residual;
    this.axis = { time: this.residual, interval: undefined };
  }

  /** Gives the memory back; nothing may be asked of the columns afterwards. */
  release(): void {
    this.arena.release();
  }

  /** Areas and background for the peaks as placed; returns the sum of squares left over. */
  solve(): number {
    this.multiplyShapes();
    solveAreas(this.areaGram, this.areaRight, this.mayBeNegative, this.coefficients, this.areaMemory);
    this.residual.set(this.y);
    for (let c = 0; c < this.linear; c++) {
      if (this.coefficients[c] !== 0) this.addTo(this.residual, this.columnOf(c), -this.coefficients[c]);
    }
    return dot(this.residual, this.residual, 0, this.n - 1);
  }

  /** Adds a multiple of a column to `out`. */
  addTo(out: Float64Array, column: number, factor: number): void {
    const k = Math.floor(column / this.perPeak);
    if (k >= this.peaks) {
      addScaled(out, this.background[column - this.peaks * this.perPeak], factor, 0, this.n - 1);
    } else {
      const reach = this.reaches[k];
      addScaled(out, this.columns[k][column - k * this.perPeak], factor, reach[0], reach[1]);
    }
  }

  private setAreaProduct(a: number, b: number, value: number): void {
    this.areaGram[a * this.linear + b] = value;
    this.areaGram[b * this.linear + a] = value;
  }

  private multiplyShapes(): void {
    const { cores } = this;
    for (let k = 0; k < this.peaks; k++) {
      const shape = this.columns[k][0];
      const own = cores[k];
      const from = own[0];
      const to = own[1];
      this.areaRight[k] = dot(shape, this.y, from, to);
      for (let l = 0; l <= k; l++) {
        const from = Math.max(own[0], cores[l][0]);
        const to = Math.min(own[1], cores[l][1]);
        this.setAreaProduct(k, l, dot(shape, this.columns[l][0], from, to));
      }
      for (let b = 0; b < this.background.length; b++)
        this.setAreaProduct(k, this.peaks + b, dot(shape, this.background[b], from, to));
    }
  }

  /** Readings in a step of the kernel's lattice. */
  private latticeOf(sigma: number): number {
    const { lattice } = this.kernel;
    const { interval } = this.axis;
    if (lattice === undefined || interval === undefined) return 1;
    return Math.max(Math.floor((lattice * sigma) / interval), 1);
  }

  /** Fills `gram` and `facing` (of the derivatives alone) for the peaks as placed and solved. */
  multiply(): void {
    const {
      peaks,
      perPeak,
      size,
      gram,
      columns,
      derivatives,
      background,
      hearts,
      across,
      beside,
      strides,
      edges,
    } = this;
    if (this.multiplied) return;
    this.multiplied = true;
    const behind = peaks * perPeak;
    const straight = background.length;
    for (let k = 0; k < peaks; k++) {
      const firstRow = k * perPeak;
      for (let l = 0; l <= k; l++) {
        const from = Math.max(hearts[k][0], hearts[l][0]);
        const to = Math.min(hearts[k][1], hearts[l][1]);
        const stride = edges[k] * edges[l] > CUT ? 1 : Math.min(strides[k], strides[l]);
        dotBlock(columns[k], columns[l], from, to, gram, size, firstRow * size + l * perPeak, stride);
      }
      gram[firstRow * size + firstRow] = this.areaGram[k * this.linear + k];
      dotTriples(beside, derivatives[k], hearts[k][0], hearts[k][1], across, perPeak);
      for (let c = 1; c < perPeak; c++) {
        for (let b = 0; b < straight; b++)
          gram[(behind + b) * size + firstRow + c] = across[perPeak * b + c - 1];
        this.facing[firstRow + c] = across[perPeak * straight + c - 1];
      }
      for (let b = 0; b < straight; b++)
        gram[(behind + b) * size + firstRow] = this.areaGram[k * this.linear + peaks + b];
    }
    for (let a = 0; a < background.length; a++) {
      for (let b = 0; b <= a; b++)
        gram[(behind + a) * size + behind + b] = this.areaGram[(peaks + a) * this.linear + peaks + b];
    }
    for (let r = 0; r < size; r++) for (let c = 0; c < r; c++) gram[c * size + r] = gram[r * size + c];
  }
}

function addScaled(out: Float64Array, values: Float64Array, factor: number, from: number, to: number): void {
  for (let i = from; i <= to; i++) out[i] += factor * values[i];
}

function writeBackground(time: Float64Array, background: readonly Float64Array[]): void {
  const n = time.length;
  if (background.length > 0) background[0].fill(1);
  if (background.length < 2) return;
  const middle = 0.5 * (time[0] + time[n - 1]);
  const half = Math.max(0.5 * (time[n - 1] - time[0]), Number.MIN_VALUE);
  const straight = background[1];
  for (let i = 0; i < n; i++) straight[i] = (time[i] - middle) / half;
}

/** Sums over what lies further down cannot be seen beside those of the cores. */
const CORE = 1e-12;
/** In products of two columns what lies further down counts twice. */
const HEART = 1e-9;
/** Products that the window's edge cuts off higher than at this share of the heights are summed reading by reading. */
const CUT = 1e-8;

/** The largest of every so-many-th sample. */
function heightOf(shape: Float64Array, reach: Int32Array, stride: number): number {
  let most = 0;
  for (let i = reach[0]; i <= reach[1]; i += stride) if (shape[i] > most) most = shape[i];
  return most;
}

/** The part of a stretch from its first to its last sample of at least this much. */
function narrow(shape: Float64Array, least: number, within: Int32Array, out: Int32Array): void {
  const to = within[1];
  let a = within[0];
  while (a <= to && shape[a] < least) a++;
  let b = to;
  while (b > a && shape[b] < least) b--;
  out[0] = a;
  out[1] = b;
}
