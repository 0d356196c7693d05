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

  /** @param words the starting state, eight 32-bit words (low half first), not all zero */
  constructor(words: ArrayLike<number>) {
    this.state = Int32Array.from(words);
    if (this.state.length !== 8 || this.state.every((word) => word === 0)) {
      throw new Error("xoshiro256 starts from eight words that are not all zero");
    }
  }

  /**
   * Fills `out`, of even length, with the next numbers rotl(s1·5, 7)·9, low half before high half. Many at once,
   * so that the state stays in registers.
   */
  fill(out: Int32Array): void {
    const s = this.state;
    let s0Low = s[0];
    let s0High = s[1];
    let s1Low = s[2];
    let s1High = s[3];
    let s2Low = s[4];
    let s2High = s[5];
    let s3Low = s[6];
    let s3High = s[7];
    for (let i = 0; i < out.length; i += 2) {
      // ·5 = shifted by 2, plus itself, with the carry of the low halves; ·9 likewise, shifted by 3.
      const fourLow = s1Low << 2;
      const low5 = (fourLow + s1Low) | 0;
      const high5 = (((s1High << 2) | (s1Low >>> 30)) + s1High + carry(fourLow, s1Low, low5)) | 0;
      const lowTurned = (low5 << 7) | (high5 >>> 25);
      const highTurned = (high5 << 7) | (low5 >>> 25);
      const eightLow = lowTurned << 3;
      const low9 = (eightLow + lowTurned) | 0;
      out[i] = low9;
      out[i + 1] =
        (((highTurned << 3) | (lowTurned >>> 29)) + highTurned + carry(eightLow, lowTurned, low9)) | 0;

      const shiftedLow = s1Low << 17;
      const shiftedHigh = (s1High << 17) | (s1Low >>> 15);
      s2Low ^= s0Low;
      s2High ^= s0High;
      const turnedLow = s3Low ^ s1Low;
      const turnedHigh = s3High ^ s1High;
      s1Low ^= s2Low;
      s1High ^= s2High;
      s0Low ^= turnedLow;
      s0High ^= turnedHigh;
      s2Low ^= shiftedLow;
      s2High ^= shiftedHigh;
      // s3 is turned by 45 = 32 + 13, so its halves change places.
      s3Low = (turnedHigh << 13) | (turnedLow >>> 19);
      s3High = (turnedLow << 13) | (turnedHigh >>> 19);
    }
    s[0] = s0Low;
    s[1] = s0High;
    s[2] = s1Low;
    s[3] = s1High;
    s[4] = s2Low;
    s[5] = s2High;
    s[6] = s3Low;
    s[7] = s3High;
  }
}

/** The bit carried out of the 32-bit sum a + b; by bits, because a comparison would be a branch that cannot be foretold. */
function carry(a: number, b: number, sum: number): number {
  return ((a & b) | ((a | b) & ~sum)) >>> 31;
}
