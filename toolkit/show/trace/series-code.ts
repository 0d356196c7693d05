/** A row of numbers packed for a page: whole multiples of `q`, differences of order `o`, variable-length bytes. */
export interface PackedSeries {
  /** Step of the values. */
  readonly q: number;
  /** Order of the differences, 1 or 2. */
  readonly o: 1 | 2;
  /** How many numbers. */
  readonly n: number;
  /** Base64 of the bytes. */
  readonly b: string;
}

/**
 * `values` rounded to multiples of `quantum` and packed; about one byte a number for a noisy trace whose noise
 * is a few quanta. Not-a-number is stored as the number before it. O(n).
 */
export function packSeries(values: ArrayLike<number>, quantum: number): PackedSeries {
  const first = packDifferences(values, quantum, 1);
  const second = packDifferences(values, quantum, 2);
  const [bytes, order] = second.length < first.length ? [second, 2 as const] : [first, 1 as const];
  return { q: quantum, o: order, n: values.length, b: Buffer.from(bytes).toString("base64") };
}

function packDifferences(values: ArrayLike<number>, quantum: number, order: 1 | 2): number[] {
  const bytes: number[] = [];
  let value = 0;
  let slope = 0;
  for (let index = 0; index < values.length; index += 1) {
    const rounded = Math.round(values[index] / quantum);
    const next = Number.isFinite(rounded) ? rounded : value;
    const difference = next - value;
    const coded = order === 2 && index > 0 ? difference - slope : difference;
    slope = index > 0 ? difference : 0;
    value = next;
    let rest = coded >= 0 ? coded * 2 : -coded * 2 - 1;
    while (rest >= 128) {
      bytes.push((rest % 128) + 128);
      rest = Math.floor(rest / 128);
    }
    bytes.push(rest);
  }
  return bytes;
}

/**
 * The numbers of a packed row. Stands alone (no import, no outer name): its source text goes into the page, where
 * the charts are drawn from the same code that is tested here.
 */
export function unpackSeries(packed: PackedSeries): Float64Array {
  const text = atob(packed.b);
  const out = new Float64Array(packed.n);
  let at = 0;
  let value = 0;
  let slope = 0;
  for (let index = 0; index < packed.n; index += 1) {
    let rest = 0;
    let weight = 1;
    let byte = 128;
    while (byte >= 128) {
      byte = text.charCodeAt(at);
      at += 1;
      rest += (byte % 128) * weight;
      weight *= 128;
    }
    const coded = rest % 2 === 0 ? rest / 2 : -(rest + 1) / 2;
    const difference = packed.o === 2 && index > 0 ? coded + slope : coded;
    slope = index > 0 ? difference : 0;
    value += difference;
    out[index] = value * packed.q;
  }
  return out;
}
