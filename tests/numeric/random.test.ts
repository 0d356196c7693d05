import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { arithmeticExp, arithmeticLog } from "../../toolkit/numeric/arithmetic-exp-log.js";
import { childSeed, createRandom } from "../../toolkit/numeric/random.js";
import { normalCdf } from "../../toolkit/numeric/special-functions.js";
import { Xoshiro256 } from "../../toolkit/numeric/xoshiro.js";
import { TAIL_START } from "../../toolkit/numeric/ziggurat.js";

const SEEDS = [1, 2, 3];
const COUNT = 200_000;

function draw(count: number, next: () => number): Float64Array {
  return Float64Array.from({ length: count }, next);
}

/** √n times the largest gap between the drawn and the true distribution function (Kolmogorov and Smirnov). */
function largestGap(values: Float64Array, distribution: (x: number) => number): number {
  const sorted = values.slice().sort();
  let gap = 0;
  sorted.forEach((x, i) => {
    const f = distribution(x);
    gap = Math.max(gap, f - i / sorted.length, (i + 1) / sorted.length - f);
  });
  return gap * Math.sqrt(sorted.length);
}

/** Limit of √n·gap that the true distribution exceeds once in 100 samples (asymptotic table of the test). */
const KOLMOGOROV_99 = 1.628;

function wordsAsBigInts(words: Int32Array): bigint[] {
  return Array.from({ length: words.length / 2 }, (_, i) => {
    return (BigInt(words[2 * i + 1] >>> 0) << 32n) | BigInt(words[2 * i] >>> 0);
  });
}

/** The generator as published, in 64-bit arithmetic: slow, but a transcription of its definition. */
function publishedXoshiro(start: readonly bigint[], count: number): bigint[] {
  const mask = (1n << 64n) - 1n;
  const turn = (x: bigint, k: bigint) => ((x << k) | (x >> (64n - k))) & mask;
  const s = [...start];
  return Array.from({ length: count }, () => {
    const result = (turn((s[1] * 5n) & mask, 7n) * 9n) & mask;
    const t = (s[1] << 17n) & mask;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = turn(s[3], 45n);
    return result;
  });
}

describe("the bit generator", () => {
  test("gives the first numbers known for the state 1, 2, 3, 4 (test vector of the authors' code, from memory)", () => {
    const words = new Int32Array(10);
    new Xoshiro256([1, 0, 2, 0, 3, 0, 4, 0]).fill(words);
    expect(wordsAsBigInts(words)).toEqual([
      11520n,
      0n,
      1509978240n,
      1215971899390074240n,
      1216172134540287360n,
    ]);
  });

  test("agrees with its definition in 64-bit arithmetic (Blackman and Vigna 2021) from any state", () => {
    const word = fc.bigInt({ min: 1n, max: (1n << 64n) - 1n });
    fc.assert(
      fc.property(fc.tuple(word, word, word, word), (state) => {
        const halves = state.flatMap((s) => [Number(s & 0xffffffffn), Number(s >> 32n)]);
        const words = new Int32Array(200);
        new Xoshiro256(halves).fill(words);
        expect(wordsAsBigInts(words)).toEqual(publishedXoshiro(state, 100));
      }),
      { seed: 1, numRuns: 50 },
    );
  });

  test("goes on where it stopped, however its numbers are fetched", () => {
    const together = new Int32Array(64);
    new Xoshiro256([1, 2, 3, 4, 5, 6, 7, 8]).fill(together);
    const piecewise = new Xoshiro256([1, 2, 3, 4, 5, 6, 7, 8]);
    const first = new Int32Array(10);
    const rest = new Int32Array(54);
    piecewise.fill(first);
    piecewise.fill(rest);
    expect([...first, ...rest]).toEqual([...together]);
  });

  test("refuses the state of zeros, from which it never leaves", () => {
    expect(() => new Xoshiro256(new Int32Array(8))).toThrow("not all zero");
  });
});

describe("seeds", () => {
  test("a child seed is the start of SHA-256 of its parts (FIPS 180-4, example of the message abc)", () => {
    expect(childSeed("abc")).toBe("ba7816bf8f01cfea");
  });

  test("parts are joined by a bar, and a bar inside a part is not taken for one", () => {
    expect(childSeed("study", 7, "noise")).not.toBe(childSeed("study", "7|noise"));
    expect(childSeed("a\\", "b")).not.toBe(childSeed("a\\|b"));
    expect(childSeed("study", 7)).toBe(childSeed("study", "7"));
  });

  test("streams of different stages, runs and ions differ and do not correlate", () => {
    const seeds = ["noise", "drift", "volume"].map((stage) => childSeed("study", 1, stage, "chloride"));
    const streams = seeds.map((seed) => {
      const random = createRandom(seed);
      return draw(COUNT, () => random.normal());
    });
    for (const [a, b] of [
      [0, 1],
      [0, 2],
      [1, 2],
    ]) {
      const product = streams[a].reduce((sum, x, i) => sum + x * streams[b][i], 0);
      expect(Math.abs(product) / Math.sqrt(COUNT)).toBeLessThan(3.5);
    }
  });

  test("a stage drawn earlier, later or not at all leaves the others as they were", () => {
    const noise = () => createRandom(childSeed("study", 1, "noise")).normal();
    const alone = noise();
    createRandom(childSeed("study", 1, "added later")).fillNormal(new Float64Array(1000));
    expect(noise()).toBe(alone);
  });

  test("a seed repeats its stream, and a number is the same seed as its text", () => {
    for (const seed of SEEDS) {
      const first = createRandom(seed);
      const again = createRandom(String(seed));
      for (let i = 0; i < 1000; i++) expect(again.normal()).toBe(first.normal());
    }
  });

  test("streams stay as they were recorded (their change must raise RANDOM_VERSION)", () => {
    const random = createRandom(1);
    expect(random.normal()).toBe(0.17124069603988637);
    expect([random.uint32(), random.uniform(), random.normal()]).toEqual([
      147116018, 0.3381556695589262, 1.81376931695598,
    ]);
  });

  test.each([Number.NaN, Number.POSITIVE_INFINITY, ""])("%s is refused as a seed", (seed) => {
    expect(() => createRandom(seed)).toThrowError(expect.objectContaining({ code: "bad-seed" }));
  });
});

describe.each(SEEDS)("deviates of seed %i", (seed) => {
  test("uniform ones follow the uniform distribution, inside its open limits", () => {
    const random = createRandom(childSeed("uniform test", seed));
    const values = draw(COUNT, () => random.uniform());
    expect(values.every((u) => u > 0 && u < 1)).toBe(true);
    expect(largestGap(values, (u) => u)).toBeLessThan(KOLMOGOROV_99);
  });

  test("the low byte of whole numbers takes each of its values equally often (χ², 255 degrees of freedom)", () => {
    const random = createRandom(childSeed("byte test", seed));
    const counts = new Float64Array(256);
    for (let i = 0; i < COUNT; i++) counts[random.uint32() & 255]++;
    const expected = COUNT / 256;
    const chiSquared = counts.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
    // 0.1 % and 99.9 % points by Wilson and Hilferty.
    expect(chiSquared).toBeGreaterThan(190.9);
    expect(chiSquared).toBeLessThan(330.5);
  });

  test("normal ones follow the normal distribution", () => {
    const random = createRandom(childSeed("normal test", seed));
    expect(
      largestGap(
        draw(COUNT, () => random.normal()),
        normalCdf,
      ),
    ).toBeLessThan(KOLMOGOROV_99);
  });

  test("normal ones have the moments 0, 1, 0, 3 within 3.5 standard errors", () => {
    const random = createRandom(childSeed("moment test", seed));
    const sums = [0, 0, 0, 0];
    const n = 2_000_000;
    for (let i = 0; i < n; i++) {
      const x = random.normal();
      for (let k = 0; k < 4; k++) sums[k] += x ** (k + 1);
    }
    // Variances of x, x², x³, x⁴ of a normal deviate: 1, 2, 15, 96.
    [0, 1, 0, 3].forEach((moment, k) => {
      expect(Math.abs(sums[k] / n - moment)).toBeLessThan(3.5 * Math.sqrt([1, 2, 15, 96][k] / n));
    });
  });

  test("normal ones reach the tail beyond the ziggurat as often as they should", () => {
    const random = createRandom(childSeed("tail test", seed));
    const n = 4_000_000;
    let beyond = 0;
    for (let i = 0; i < n; i++) if (Math.abs(random.normal()) > TAIL_START) beyond++;
    const expected = 2 * normalCdf(-TAIL_START) * n;
    expect(Math.abs(beyond - expected)).toBeLessThan(3.5 * Math.sqrt(expected));
  });

  test("neighbours do not correlate, nor do their squares", () => {
    const random = createRandom(childSeed("neighbour test", seed));
    const values = draw(COUNT, () => random.normal());
    let product = 0;
    let squares = 0;
    for (let i = 1; i < COUNT; i++) {
      product += values[i] * values[i - 1];
      squares += (values[i] ** 2 - 1) * (values[i - 1] ** 2 - 1);
    }
    expect(Math.abs(product) / Math.sqrt(COUNT)).toBeLessThan(3.5);
    expect(Math.abs(squares) / (2 * Math.sqrt(COUNT))).toBeLessThan(3.5);
  });

  test("filling an array gives what single draws give", () => {
    const filled = new Float64Array(1000);
    createRandom(seed).fillNormal(filled);
    const single = createRandom(seed);
    expect(filled.every((value) => value === single.normal())).toBe(true);
  });
});

describe("exponential and logarithm from the four operations", () => {
  test("agree with the engine's own to a few units in the last place", () => {
    fc.assert(
      fc.property(fc.double({ min: -700, max: 700, noNaN: true }), (x) => {
        expect(Math.abs(arithmeticExp(x) / Math.exp(x) - 1)).toBeLessThan(2e-15);
        const y = Math.exp(x);
        expect(Math.abs(arithmeticLog(y) - Math.log(y))).toBeLessThan(4e-16 * Math.max(1, Math.abs(x)));
      }),
      { seed: 1, numRuns: 2000 },
    );
  });
});
