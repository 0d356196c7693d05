"use strict";
// The dense tensors (rank 0 to 2) that danfojs computes with, over plain arrays. What it does not call is left out:
// asking for it says so.

const sizeOf = (shape) => shape.reduce((product, n) => product * n, 1);
const isList = (value) => Array.isArray(value) || ArrayBuffer.isView(value);
const shapeOf = (value) => (isList(value) ? [value.length, ...(isList(value[0]) ? shapeOf(value[0]) : [])] : []);
const toNumber = (value) => (typeof value === "boolean" ? Number(value) : value);
const flatten = (value) => (isList(value) ? Array.from(value).flatMap(flatten) : [toNumber(value)]);

class Tensor {
  constructor(values, shape, dtype = "float32") {
    this.values = values;
    this.shape = shape;
    this.dtype = dtype;
    this.rank = shape.length;
    this.size = values.length;
  }

  arraySync() {
    if (this.rank === 0) return this.values[0];
    if (this.rank === 1) return this.values.slice();
    const [rows, columns] = this.shape;
    return Array.from({ length: rows }, (_, r) => this.values.slice(r * columns, (r + 1) * columns));
  }

  dataSync() {
    return this.values.slice();
  }

  async array() {
    return this.arraySync();
  }

  async data() {
    return this.dataSync();
  }

  clone() {
    return new Tensor(this.values.slice(), this.shape.slice(), this.dtype);
  }

  /** Nothing to free: plain arrays are the collector's business. */
  dispose() {}

  print() {
    console.log(this.arraySync());
  }

  toString() {
    return `Tensor ${JSON.stringify(this.arraySync())}`;
  }

  transpose() {
    if (this.rank < 2) return this.clone();
    const [rows, columns] = this.shape;
    const out = new Array(rows * columns);
    for (let r = 0; r < rows; r++) for (let c = 0; c < columns; c++) out[c * rows + r] = this.values[r * columns + c];
    return new Tensor(out, [columns, rows], this.dtype);
  }

  sqrt() {
    return new Tensor(this.values.map(Math.sqrt), this.shape.slice());
  }

  /** Reduces each line along an axis (0 columns, 1 rows), or everything without one. */
  reduceBy(axis, reduce) {
    if (axis === undefined || axis === null || this.rank < 2) return new Tensor([reduce(this.values)], []);
    const rows = this.arraySync();
    const lines = axis === 0 ? rows[0].map((_, c) => rows.map((row) => row[c])) : rows;
    return new Tensor(lines.map(reduce), [lines.length]);
  }

  min(axis) {
    return this.reduceBy(axis, (line) => line.reduce((a, b) => (b < a ? b : a), Infinity));
  }

  max(axis) {
    return this.reduceBy(axis, (line) => line.reduce((a, b) => (b > a ? b : a), -Infinity));
  }

  sum(axis) {
    return this.reduceBy(axis, (line) => line.reduce((a, b) => a + b, 0));
  }

  mean(axis) {
    return this.reduceBy(axis, (line) => line.reduce((a, b) => a + b, 0) / line.length);
  }

  argMax(axis = 0) {
    return this.reduceBy(axis, (line) => line.reduce((best, value, i) => (value > line[best] ? i : best), 0));
  }

  argMin(axis = 0) {
    return this.reduceBy(axis, (line) => line.reduce((best, value, i) => (value < line[best] ? i : best), 0));
  }
}

function tensor(value, shape, dtype) {
  const values = flatten(value);
  const wanted = shape ?? shapeOf(value);
  if (sizeOf(wanted) !== values.length) {
    throw new Error(`a tensor of shape [${wanted}] needs ${sizeOf(wanted)} values, got ${values.length}`);
  }
  return new Tensor(values, [...wanted], dtype);
}

/** Element-wise operation with the usual broadcasting of lengths of one. */
function combine(a, other, operation, dtype) {
  const b = other instanceof Tensor ? other : tensor(other);
  const rank = Math.max(a.rank, b.rank);
  const padded = (shape) => [...new Array(rank - shape.length).fill(1), ...shape];
  const [sa, sb] = [padded(a.shape), padded(b.shape)];
  const shape = sa.map((n, i) => {
    if (n !== sb[i] && n !== 1 && sb[i] !== 1) throw new Error(`shapes [${a.shape}] and [${b.shape}] do not fit together`);
    return Math.max(n, sb[i]);
  });
  const asMatrix = (s) => (s.length === 2 ? s : [1, s[0] ?? 1]);
  const [[rows, columns], [ra, ca], [rb, cb]] = [asMatrix(shape), asMatrix(sa), asMatrix(sb)];
  const out = new Array(rows * columns);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const left = a.values[(ra === 1 ? 0 : r) * ca + (ca === 1 ? 0 : c)];
      const right = b.values[(rb === 1 ? 0 : r) * cb + (cb === 1 ? 0 : c)];
      out[r * columns + c] = operation(left, right);
    }
  }
  return new Tensor(out, shape, dtype);
}

const arithmetic = {
  add: (x, y) => x + y,
  sub: (x, y) => x - y,
  mul: (x, y) => x * y,
  div: (x, y) => x / y,
  divNoNan: (x, y) => (y === 0 ? 0 : x / y),
  pow: (x, y) => x ** y,
  mod: (x, y) => ((x % y) + y) % y,
};
const comparisons = {
  greater: (x, y) => x > y,
  less: (x, y) => x < y,
  greaterEqual: (x, y) => x >= y,
  lessEqual: (x, y) => x <= y,
  equal: (x, y) => x === y,
  notEqual: (x, y) => x !== y,
};
for (const [name, operation] of Object.entries(arithmetic)) {
  Tensor.prototype[name] = function (other) {
    return combine(this, other, operation);
  };
}
for (const [name, holds] of Object.entries(comparisons)) {
  Tensor.prototype[name] = function (other) {
    return combine(this, other, (x, y) => (holds(x, y) ? 1 : 0), "bool");
  };
}

function moments(x, axis) {
  const mean = x.mean(axis);
  const centred = x.sub(mean);
  return { mean, variance: centred.mul(centred).mean(axis) };
}

/** Whole numbers below n, drawn from a seed; each letter is mixed in, so that neighbouring seeds share nothing. */
function drawsFrom(seed) {
  let state = 0;
  const next = () => {
    state = (state + 0x9e3779b9) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    return (mixed ^ (mixed >>> 16)) >>> 0;
  };
  for (const letter of String(seed)) state = (next() ^ letter.codePointAt(0)) >>> 0;
  return (n) => Math.floor((next() / 2 ** 32) * n);
}

/** Sampling of rows: a seeded shuffle, the last row first. */
function rowsOf(items) {
  return {
    shuffle(_buffer, seed = 1) {
      const below = drawsFrom(seed);
      const out = items.slice();
      for (let i = out.length - 1; i > 0; i--) {
        const j = below(i + 1);
        [out[i], out[j]] = [out[j], out[i]];
      }
      return rowsOf(out);
    },
    take: (n) => rowsOf(items.slice(0, n)),
    toArray: async () => items.slice(),
  };
}

const offered = {
  Tensor,
  tensor,
  scalar: (value, dtype) => tensor(value, [], dtype),
  tensor1d: (value, dtype) => tensor(value, [flatten(value).length], dtype),
  tensor2d: tensor,
  moments,
  data: { array: (items) => rowsOf(Array.from(items)) },
};

module.exports = new Proxy(offered, {
  get(target, name) {
    if (name in target || typeof name === "symbol" || name === "__esModule" || name === "default" || name === "then") return target[name];
    throw new Error(`tensors here do tables only: "${String(name)}" is not part of this build of danfojs`);
  },
});
