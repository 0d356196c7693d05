import { dot, dotBlock } from "./column-dots.js";
import { type PeakKernel, type TimeAxis, timeAxis } from "./peak-kernel.js";
import { solveAreas } from "./signed-areas.js";

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
  private readonly memory: Float64Array;
  private readonly reaches: readonly Int32Array[];
  /** Where each shape exceeds CORE of its height: products count from there. */
  private readonly cores: readonly Int32Array[];
  private readonly areaGram: Float64Array;
  private readonly areaRight: Float64Array;
  private readonly mayBeNegative: readonly boolean[];
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
    this.memory = borrow(peaks * this.perPeak * n);
    this.columns = Array.from({ length: peaks }, (_, k) =>
      Array.from({ length: this.perPeak }, (_, c) => {
        const first = (k * this.perPeak + c) * n;
        return this.memory.subarray(first, first + n);
      }),
    );
    this.background = backgroundColumns(time, backgroundDegree);
    this.reaches = Array.from({ length: peaks }, () => new Int32Array(2));
    this.cores = Array.from({ length: peaks }, () => new Int32Array(2));
    this.residual = new Float64Array(n);
    this.coefficients = new Float64Array(this.linear);
    this.gram = new Float64Array(this.size * this.size);
    this.facing = new Float64Array(this.size);
    this.areaGram = new Float64Array(this.linear * this.linear);
    this.areaRight = new Float64Array(this.linear);
    this.mayBeNegative = Array.from({ length: this.linear }, (_, c) => c >= peaks || (signed?.[c] ?? false));
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
    findCore(this.columns[k][0], this.reaches[k], this.cores[k]);
    this.multiplied = false;
  }

  /** Gives the memory of the columns back; nothing may be asked of them afterwards. */
  release(): void {
    giveBack(this.memory);
  }

  /** Areas and background for the peaks as placed; returns the sum of squares left over. */
  solve(): number {
    this.multiplyShapes();
    solveAreas(this.areaGram, this.areaRight, this.mayBeNegative, this.coefficients);
    this.residual.set(this.y);
    for (let c = 0; c < this.linear; c++) {
      if (this.coefficients[c] !== 0) this.addTo(this.residual, this.columnOf(c), -this.coefficients[c]);
    }
    return dot(this.residual, this.residual, 0, this.n - 1);
  }

  /** Adds a multiple of a column to `out`. */
  addTo(out: Float64Array, column: number, factor: number): void {
    const [values, from, to] = this.stretch(column);
    for (let i = from; i <= to; i++) out[i] += factor * values[i];
  }

  private stretch(column: number): readonly [values: Float64Array, from: number, to: number] {
    const k = Math.floor(column / this.perPeak);
    if (k >= this.peaks) return [this.background[column - this.peaks * this.perPeak], 0, this.n - 1];
    const [from, to] = this.reaches[k];
    return [this.columns[k][column - k * this.perPeak], from, to];
  }

  private overlap(k: number, l: number): readonly [from: number, to: number] {
    const [a, b] = [this.cores[k], this.cores[l]];
    return [Math.max(a[0], b[0]), Math.min(a[1], b[1])];
  }

  private setAreaProduct(a: number, b: number, value: number): void {
    this.areaGram[a * this.linear + b] = value;
    this.areaGram[b * this.linear + a] = value;
  }

  private multiplyShapes(): void {
    for (let k = 0; k < this.peaks; k++) {
      const shape = this.columns[k][0];
      const [from, to] = this.reaches[k];
      this.areaRight[k] = dot(shape, this.y, from, to);
      for (let l = 0; l <= k; l++) {
        const [a, b] = this.overlap(k, l);
        this.setAreaProduct(k, l, dot(shape, this.columns[l][0], a, b));
      }
      for (let b = 0; b < this.background.length; b++)
        this.setAreaProduct(k, this.peaks + b, dot(shape, this.background[b], from, to));
    }
  }

  /** Fills `gram` and `facing` for the peaks as placed and solved. */
  multiply(): void {
    const { peaks, perPeak, size, gram, columns, background } = this;
    if (this.multiplied) return;
    this.multiplied = true;
    const behind = peaks * perPeak;
    const across = [...background, this.residual];
    const sums = new Float64Array(perPeak * 4);
    for (let k = 0; k < peaks; k++) {
      const firstRow = k * perPeak;
      for (let l = 0; l <= k; l++)
        dotBlock(columns[k], columns[l], this.overlap(k, l), gram, {
          size,
          firstRow,
          firstColumn: l * perPeak,
        });
      const [from, to] = this.reaches[k];
      dotBlock(columns[k], across, [from, to], sums, { size: 4, firstRow: 0, firstColumn: 0 });
      for (let c = 0; c < perPeak; c++) {
        for (let b = 0; b < background.length; b++)
          gram[(behind + b) * size + firstRow + c] = sums[4 * c + b];
        this.facing[firstRow + c] = sums[4 * c + background.length];
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

function backgroundColumns(time: Float64Array, degree: number): readonly Float64Array[] {
  const last = time.length - 1;
  const middle = 0.5 * (time[0] + time[last]);
  const half = Math.max(0.5 * (time[last] - time[0]), Number.MIN_VALUE);
  return [time.map(() => 1), time.map((t) => (t - middle) / half)].slice(0, degree + 1);
}

/** Products of what lies further down cannot be seen beside those of the cores. */
const CORE = 1e-12;

function findCore(shape: Float64Array, [from, to]: Int32Array, core: Int32Array): void {
  let most = 0;
  for (let i = from; i <= to; i++) if (shape[i] > most) most = shape[i];
  const least = CORE * most;
  let a = from;
  while (a <= to && shape[a] < least) a++;
  let b = to;
  while (b > a && shape[b] < least) b--;
  core[0] = a;
  core[1] = b;
}

/** One piece of memory is kept from fit to fit: large arrays are dear to make. */
const MOST_KEPT = 1 << 20;
let kept: Float64Array | undefined;

function borrow(length: number): Float64Array {
  const found = kept !== undefined && kept.length >= length ? kept : new Float64Array(length);
  kept = undefined;
  return found;
}

function giveBack(memory: Float64Array): void {
  if (memory.length <= MOST_KEPT) kept = memory;
}
