/**
 * The generator xoshiro256** in 32-bit arithmetic: 256 bits of state, period 2^256 − 1. JavaScript has no fast
 * 64-bit integers, so every 64-bit word is kept as two signed 32-bit halves, low half first.
 *
 * @source D. Blackman, S. Vigna, "Scrambled linear pseudorandom number generators", ACM Trans. Math. Softw. 47
 *   (2021) 36, doi:10.1145/3460772
 */
export class Xoshiro256 {
  /** s0 low, s0 high, s1 low, s1 high, … s3 high. */
  private readonly state: Int32Array;
  /** Halves of the number drawn last. */
  low = 0;
  high = 0;

  /** @param words the starting state, eight 32-bit words (low half first), not all zero */
  constructor(words: ArrayLike<number>) {
    this.state = Int32Array.from(words);
    if (this.state.length !== 8 || this.state.every((word) => word === 0)) {
      throw new Error("xoshiro256 starts from eight words that are not all zero");
    }
  }

  /** Draws the next 64 bits into `low` and `high`: rotl(s1·5, 7)·9. */
  step(): void {
    const s = this.state;
    const s1Low = s[2];
    const s1High = s[3];
    this.scramble(s1Low, s1High);

    const s2Low = s[4] ^ s[0];
    const s2High = s[5] ^ s[1];
    const s3Low = s[6] ^ s1Low;
    const s3High = s[7] ^ s1High;
    s[2] = s1Low ^ s2Low;
    s[3] = s1High ^ s2High;
    s[0] ^= s3Low;
    s[1] ^= s3High;
    // s2 takes s1 shifted left by 17; s3 is turned by 45 = 32 + 13, so its halves change places.
    s[4] = s2Low ^ (s1Low << 17);
    s[5] = s2High ^ ((s1High << 17) | (s1Low >>> 15));
    s[6] = (s3High << 13) | (s3Low >>> 19);
    s[7] = (s3Low << 13) | (s3High >>> 19);
  }

  private scramble(low: number, high: number): void {
    // ·5 = shifted by 2, plus itself, with the carry of the low halves.
    const low5 = ((low << 2) + low) | 0;
    const carry5 = low5 >>> 0 < low >>> 0 ? 1 : 0;
    const high5 = (((high << 2) | (low >>> 30)) + high + carry5) | 0;
    const lowTurned = (low5 << 7) | (high5 >>> 25);
    const highTurned = (high5 << 7) | (low5 >>> 25);
    // ·9 = shifted by 3, plus itself.
    const low9 = ((lowTurned << 3) + lowTurned) | 0;
    const carry9 = low9 >>> 0 < lowTurned >>> 0 ? 1 : 0;
    this.low = low9;
    this.high = (((highTurned << 3) | (lowTurned >>> 29)) + highTurned + carry9) | 0;
  }
}
