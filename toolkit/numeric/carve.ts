/** Numbers in one piece of memory, and the longest array that is cut from it. */
const PIECE = 1024;
const LONGEST = 128;

let piece = new Float64Array(PIECE);
let used = 0;

/**
 * A new array of zeros, cut from a larger piece where it is short: memory of its own costs an array of a few dozen numbers ten
 * times what filling it costs. For arrays that stay inside the toolkit, as `buffer` is that of the whole piece.
 */
export function carve(length: number): Float64Array {
  if (length > LONGEST) return new Float64Array(length);
  if (used + length > PIECE) {
    piece = new Float64Array(PIECE);
    used = 0;
  }
  const cut = piece.subarray(used, used + length);
  used += length;
  return cut;
}

/** One number of each item, as an array that stays inside the toolkit. */
export function carveFrom<Item>(items: readonly Item[], number: (item: Item) => number): Float64Array {
  const cut = carve(items.length);
  for (let i = 0; i < cut.length; i++) cut[i] = number(items[i]);
  return cut;
}
