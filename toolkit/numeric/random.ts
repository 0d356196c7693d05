import { createHash } from "node:crypto";
import { IonbookError } from "../errors.js";
import { arithmeticLog } from "./arithmetic-exp-log.js";
import { Xoshiro256 } from "./xoshiro.js";
import { bellCurve, height, inner, scale, TAIL_START } from "./ziggurat.js";

/**
 * Version of the streams: raised by any change of the order or number of draws behind a deviate, because
 * recorded simulations then no longer repeat.
 */
export const RANDOM_VERSION = 1;

/** A stream of random numbers that depends on its seed alone, bit for bit, on every engine. */
export interface Random {
  /** A whole number, 0 to 2³² − 1, each equally likely. */
  uint32(): number;
  /** A number between 0 and 1, both excluded: (m + ½)·2⁻⁵², m of 52 bits. */
  uniform(): number;
  /** A standard normal deviate: mean 0, standard deviation 1. */
  normal(): number;
  /** Fills `out` with standard normal deviates, the same ones that repeated `normal()` would give. */
  fillNormal(out: Float64Array): void;
}

/**
 * A reproducible stream of random numbers: xoshiro256** started from SHA-256 of the seed's text, normal deviates
 * by the ziggurat method. Only + − × ÷ √, integer operations and tables are used, so streams are bit-identical
 * between engines.
 *
 * @param seed a finite number or a non-empty text (1 and "1" are the same seed); for independent streams of one
 *   study use {@link childSeed}
 * @throws IonbookError "bad-seed" for NaN, infinities and empty text
 * @source Blackman and Vigna 2021 (xoshiro256**); Marsaglia and Tsang 2000 (ziggurat)
 */
export function createRandom(seed: number | string): Random {
  if (seed === "" || (typeof seed === "number" && !Number.isFinite(seed))) {
    throw new IonbookError(
      "bad-seed",
      `A random stream needs a finite number or a text as seed, not "${seed}"`,
    );
  }
  const digest = createHash("sha256").update(String(seed), "utf8").digest();
  return new XoshiroRandom(Array.from({ length: 8 }, (_, i) => digest.readInt32LE(4 * i)));
}

/**
 * The seed of one stage of a study: the first 8 bytes (16 hexadecimal digits) of SHA-256 of the parts joined by
 * "|", for example `childSeed(study, run, "noise", "nitrate")`. It depends on these parts alone, so a stage or an
 * ion added later changes no other stream.
 *
 * @param parts study, run, stage, ion, …; a "|" or "\" inside a part is escaped by "\", so different lists of
 *   parts never give the same text
 * @throws IonbookError "bad-seed" without any part
 */
export function childSeed(...parts: readonly (string | number)[]): string {
  if (parts.length === 0)
    throw new IonbookError("bad-seed", "childSeed needs at least one part to derive a seed from");
  const text = parts.map((part) => String(part).replace(/[\\|]/g, "\\$&")).join("|");
  return createHash("sha256").update(text, "utf8").digest("hex").slice(0, 16);
}

/** Numbers drawn ahead at a time: enough to be quick, few enough for a stream that is asked once. */
const AHEAD = 64;

class XoshiroRandom implements Random {
  private readonly generator: Xoshiro256;
  private readonly words = new Int32Array(2 * AHEAD);
  private next = 2 * AHEAD;

  constructor(state: readonly number[]) {
    this.generator = new Xoshiro256(state);
  }

  uint32(): number {
    return this.words[this.advance() + 1] >>> 0;
  }

  uniform(): number {
    const at = this.advance();
    return ((this.words[at + 1] >>> 0) * 2 ** 20 + (this.words[at] >>> 12) + 0.5) * 2 ** -52;
  }

  normal(): number {
    const at = this.advance();
    const low = this.words[at];
    // Low 8 bits choose the layer, 21 others refine the signed 32-bit draw; the last ½ keeps it symmetric about 0.
    const layer = low & 255;
    const draw = this.words[at + 1] + ((low >>> 11) + 0.5) * 2 ** -21;
    const x = draw * scale[layer];
    return Math.abs(draw) < inner[layer] ? x : this.normalAtEdge(layer, x);
  }

  /** Place of the next 64 bits in `words`: low half there, high half after it. */
  private advance(): number {
    if (this.next === 2 * AHEAD) {
      this.generator.fill(this.words);
      this.next = 0;
    }
    const at = this.next;
    this.next = at + 2;
    return at;
  }

  fillNormal(out: Float64Array): void {
    for (let i = 0; i < out.length; i++) out[i] = this.normal();
  }

  /** The rare rest of the ziggurat: the tail, or the wedge between a layer's rectangle and the curve. */
  private normalAtEdge(layer: number, x: number): number {
    if (layer === 0) return x < 0 ? -this.normalTail() : this.normalTail();
    const low = height[layer];
    return low + this.uniform() * (height[layer + 1] - low) < bellCurve(x) ? x : this.normal();
  }

  /** A deviate above TAIL_START, by Marsaglia's exponential rejection. */
  private normalTail(): number {
    for (;;) {
      const beyond = -arithmeticLog(this.uniform()) / TAIL_START;
      if (-2 * arithmeticLog(this.uniform()) > beyond * beyond) return TAIL_START + beyond;
    }
  }
}
