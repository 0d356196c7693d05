import { Arena } from "../../numeric/scratch.js";
import { type PeakKernel, type TimeAxis, timeAxis } from "../shape/peak-kernel.js";
import { dot, dotBlock } from "./column-dots.js";
import { AreaMemory, solveAreas } from "./signed-areas.js";

export interface ClusterWindow {
  readonly time: Float64Array;
  readonly y: Float64Array;
  readonly kernel: PeakKernel;
  readonly peaks: number;
  /** −1 for none, 0 constant, 1 straight. */
  readonly backgroundDegree: number;
  /** Peaks whose area may be negative. */
  readonly signed?: readonly boolean[] | undefined;
}

/**
 * One window of a fit as columns: each peak's shape and derivatives, the background, their products, and the areas
 * and background that follow the readings best.
 *
 * All arrays are allocated once, and products are taken over overlaps only. Columns are numbered k·perPeak + c for
 * peak k (c = 0 the shape, then its derivatives), the background behind them.
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
  private readonly y: Float64Array;
  private readonly axis: TimeAxis;
  private readonly kernel: PeakKernel;
  private readonly columns: readonly (readonly Float64Array[])[];
  private readonly background: readonly Float64Array[];
  private readonly arena: Arena;
  /** What each peak's columns are multiplied by: background, residual, and its own derivatives. */
  private readonly beside: readonly (readonly Float64Array[])[];
  private readonly reaches: readonly Int32Array[];
  /** Where each shape exceeds CORE of its height: products with the readings count from there. */
  private readonly cores: readonly Int32Array[];
  /** Where it exceeds HEART of its height: products that only steer the search count from there. */
  private readonly hearts: readonly Int32Array[];
  private readonly areaGram: Float64Array;
  private readonly areaRight: Float64Array;
  private readonly mayBeNegative: readonly boolean[];
  private readonly areaMemory: AreaMemory;
  /** Products of one peak's columns with what stands beside them. */
  private readonly across: Float64Array;
  private multiplied = false;

  constructor({ time, y, kernel, peaks, backgroundDegree, signed }: ClusterWindow) {
    const n = time.length;
    this.n = n;
    this.y = y;
    this.peaks = peaks;
    this.kernel = kernel;
    this.axis = timeAxis(time);
    this.perPeak = 3 + kernel.further.length;
    this.linear = peaks + backgroundDegree + 1;
    this.size = peaks * this.perPeak + backgroundDegree + 1;
    const { linear, size, perPeak } = this;
    const straight = backgroundDegree + 1;
    this.arena = new Arena(
      (peaks * perPeak + straight + 1) * n +
        size * (size + 1) +
        linear * (linear + 2) +
        perPeak * (perPeak + straight) +
        AreaMemory.room(linear),
    );
    const { arena } = this;
    this.columns = Array.from({ length: peaks }, () => Array.from({ length: perPeak }, () => arena.take(n)));
    this.background = backgroundColumns(time, backgroundDegree, arena);
    this.reaches = Array.from({ length: peaks }, () => new Int32Array(2));
    this.cores = Array.from({ length: peaks }, () => new Int32Array(2));
    this.hearts = Array.from({ length: peaks }, () => new Int32Array(2));
    this.residual = arena.take(n);
    this.beside = this.columns.map((own) => [...this.background, this.residual, ...own.slice(1)]);
    this.coefficients = arena.takeZeros(linear);
    this.gram = arena.takeZeros(size * size);
    this.facing = arena.takeZeros(size);
    this.areaGram = arena.takeZeros(linear * linear);
    this.areaRight = arena.takeZeros(linear);
    this.areaMemory = new AreaMemory(linear, arena);
    this.across = arena.takeZeros(perPeak * (perPeak + straight));
    this.mayBeNegative = Array.from({ length: linear }, (_, c) => c >= peaks || (signed?.[c] ?? false));
    this.background.forEach((column, a) => {
      this.areaRight[peaks + a] = dot(column, y, 0, n - 1);
      this.background.forEach((other, b) => {
        this.setAreaProduct(peaks + a, peaks + b, dot(column, other, 0, n - 1));
      });
    });
  }

  /** Number of the column that belongs to a linear coefficient. */
  columnOf(linear: number): number {
    return linear < this.peaks ? linear * this.perPeak : this.peaks * (this.perPeak - 1) + linear;
  }

  /** Writes peak k at these parameters, [μ, σ, …]. */
  place(k: number, parameters: Float64Array): void {
    this.kernel.write(this.axis, parameters, this.columns[k], this.reaches[k]);
    const height = findCore(this.columns[k][0], this.reaches[k], this.cores[k]);
    narrow(this.columns[k][0], HEART * height, this.cores[k], this.hearts[k]);
    this.multiplied = false;
  }

  /** Gives the memory of the columns back; nothing may be asked of them afterwards. */
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

  /** Fills `gram` and `facing` for the peaks as placed and solved. */
  multiply(): void {
    const { peaks, perPeak, size, gram, columns, background, hearts, across, beside } = this;
    if (this.multiplied) return;
    this.multiplied = true;
    const behind = peaks * perPeak;
    const straight = background.length;
    for (let k = 0; k < peaks; k++) {
      const firstRow = k * perPeak;
      for (let l = 0; l < k; l++) {
        const from = Math.max(hearts[k][0], hearts[l][0]);
        const to = Math.min(hearts[k][1], hearts[l][1]);
        dotBlock(columns[k], columns[l], from, to, gram, size, firstRow * size + l * perPeak);
      }
      dotBlock(beside[k], columns[k], hearts[k][0], hearts[k][1], across, perPeak, 0);
      gram[firstRow * size + firstRow] = this.areaGram[k * this.linear + k];
      for (let c = 0; c < perPeak; c++) {
        for (let b = 0; b < straight; b++) gram[(behind + b) * size + firstRow + c] = across[perPeak * b + c];
        this.facing[firstRow + c] = across[perPeak * straight + c];
        for (let r = Math.max(c, 1); r < perPeak; r++)
          gram[(firstRow + r) * size + firstRow + c] = across[perPeak * (straight + r) + c];
      }
    }
    for (let a = 0; a < background.length; a++) {
      this.facing[behind + a] = dot(background[a], this.residual, 0, this.n - 1);
      for (let b = 0; b <= a; b++)
        gram[(behind + a) * size + behind + b] = this.areaGram[(peaks + a) * this.linear + peaks + b];
    }
    for (let r = 0; r < size; r++) for (let c = 0; c < r; c++) gram[c * size + r] = gram[r * size + c];
  }
}

function addScaled(out: Float64Array, values: Float64Array, factor: number, from: number, to: number): void {
  for (let i = from; i <= to; i++) out[i] += factor * values[i];
}

function backgroundColumns(time: Float64Array, degree: number, arena: Arena): readonly Float64Array[] {
  const n = time.length;
  const columns = Array.from({ length: degree + 1 }, () => arena.take(n).fill(1));
  if (degree < 1) return columns;
  const middle = 0.5 * (time[0] + time[n - 1]);
  const half = Math.max(0.5 * (time[n - 1] - time[0]), Number.MIN_VALUE);
  const straight = columns[1];
  for (let i = 0; i < n; i++) straight[i] = (time[i] - middle) / half;
  return columns;
}

/** Sums over what lies further down cannot be seen beside those of the cores. */
const CORE = 1e-12;
/** In products of two columns what lies further down counts twice. */
const HEART = 1e-9;

/** Where a shape exceeds CORE of its height; returns the height. */
function findCore(shape: Float64Array, reach: Int32Array, core: Int32Array): number {
  let most = 0;
  for (let i = reach[0]; i <= reach[1]; i++) if (shape[i] > most) most = shape[i];
  narrow(shape, CORE * most, reach, core);
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
