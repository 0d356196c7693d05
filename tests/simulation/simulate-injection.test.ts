import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { crossingConcentration } from "../../toolkit/separation/retention.js";
import type { ColumnSolute, Instrument } from "../../toolkit/simulation/instrument.js";
import { instrumentDrift } from "../../toolkit/simulation/instrument-drift.js";
import { addNoise } from "../../toolkit/simulation/noise.js";
import { ANION_INSTRUMENT, ANION_SOLUTES } from "../../toolkit/simulation/road-salt-instruments.js";
import { type SimulatedInjection, simulateInjection } from "../../toolkit/simulation/simulate-injection.js";

const NOMINAL = { flow: 0, eluent: 0, temperature: 0, capacity: 1 };
const silent: Instrument = { ...ANION_INSTRUMENT, noise: { white: 0, pink: 0, pulsation: 0 } };

function solute(ion: string): ColumnSolute {
  return ANION_SOLUTES.find((each) => each.ion === ion) as ColumnSolute;
}

function run(instrument: Instrument, nanomoles: Record<string, number>, seed = "1"): SimulatedInjection {
  const solutes = Object.entries(nanomoles).map(([ion, amount]) => ({
    solute: solute(ion),
    nanomoles: amount,
  }));
  return simulateInjection(instrument, { solutes, carbonicNanomoles: 0 }, NOMINAL, seed);
}

describe("one injection", () => {
  // Source: handbook CONDUCTIVITY §1 [C]: 25.56 µS·s for each nmol HCl at 1.00 mL/min, whatever retention and width.
  it.each([1, 2, 3])("obeys the area theorem, seed %i", (seed) => {
    const instrument: Instrument = { ...silent, flow: 1, background: { carbonicAcid: 0, leak: 5e-6 } };
    for (const strength of [9, 15]) {
      const { peaks } = run({ ...instrument, program: [[0, strength]] }, { chloride: 1 }, String(seed));
      // Ions slow each other down by 0.1 to 0.3 % at these strengths, hence the tolerance.
      expect(Math.abs((60 * peaks[0].area) / 25.56 - 1)).toBeLessThan(0.004);
    }
  });

  it("halves the area of a strong ion with its amount", () => {
    const area = (amount: number): number => run(silent, { nitrate: amount }).peaks[0].area;
    expect(Math.abs(area(2) / area(1) - 2)).toBeLessThan(0.006);
  });

  it("is baseline and peaks and nothing else, to the last bit, when there is no noise", () => {
    const chloride = run(silent, { chloride: 0.5 });
    const phosphate = run(silent, { phosphate: 0.2 });
    const both = run(silent, { chloride: 0.5, phosphate: 0.2 });
    for (let i = 0; i < both.signal.length; i++) {
      const base = both.baseline[i];
      const peaks = chloride.signal[i] - base + (phosphate.signal[i] - base);
      // Each of the three records is rounded to whole steps of the digitiser, half a step each.
      expect(Math.abs(both.signal[i] - base - peaks)).toBeLessThan(2.5 * silent.leastBit);
    }
  });

  it("states as true area what the record holds above the baseline", () => {
    const { signal, baseline, peaks } = run(silent, { sulfate: 1.5 });
    const total = signal.reduce((sum, y, i) => sum + y - baseline[i], 0) / silent.samplingRate / 60;
    expect(Math.abs(total / peaks[0].area - 1)).toBeLessThan(1e-4);
    expect(Math.abs(Math.max(...signal.map((y, i) => y - baseline[i])) / peaks[0].height - 1)).toBeLessThan(
      0.01,
    );
  });

  it("has the same area when recorded twice as fast", () => {
    const fast = run({ ...silent, samplingRate: 10 }, { nitrite: 0.4 });
    expect(Math.abs(fast.peaks[0].area / run(silent, { nitrite: 0.4 }).peaks[0].area - 1)).toBeLessThan(1e-5);
  });

  it("elutes nitrate and sulfate in the order of their crossing strength", () => {
    const crossing = crossingConcentration(solute("nitrate"), solute("sulfate")) as number;
    const order = (strength: number): number => {
      const instrument: Instrument = { ...silent, program: [[0, strength]], runTime: 60 };
      const [nitrate, sulfate] = run(instrument, { nitrate: 0.1, sulfate: 0.1 }).peaks;
      return Math.sign(nitrate.apex - sulfate.apex);
    };
    expect(order(0.8 * crossing)).toBe(-1);
    expect(order(1.25 * crossing)).toBe(1);
  });

  it("repeats itself with the same seed and differs with another", () => {
    const first = run(ANION_INSTRUMENT, { chloride: 1 }, "seed 1");
    expect(run(ANION_INSTRUMENT, { chloride: 1 }, "seed 1").signal).toEqual(first.signal);
    expect(run(ANION_INSTRUMENT, { chloride: 1 }, "seed 2").signal).not.toEqual(first.signal);
  });

  it("changes nothing in front of an ion that is added later", () => {
    const without = run(ANION_INSTRUMENT, { fluoride: 0.1, chloride: 1 });
    const withSulfate = run(ANION_INSTRUMENT, { fluoride: 0.1, chloride: 1, sulfate: 1 });
    const until = Math.round(60 * 14.5 * ANION_INSTRUMENT.samplingRate);
    expect(withSulfate.signal.subarray(0, until)).toEqual(without.signal.subarray(0, until));
    expect(withSulfate.signal).not.toEqual(without.signal);
    expect(withSulfate.peaks[0].band).toEqual(without.peaks[0].band);
  });

  it("records whole steps of the digitiser", () => {
    const { signal } = run(ANION_INSTRUMENT, { chloride: 1 });
    for (const y of signal) expect(Math.abs(y / 1e-5 - Math.round(y / 1e-5))).toBeLessThan(1e-6);
  });
});

describe("detector noise", () => {
  const length = 60_000;
  const noise = (levels: Instrument["noise"], seed: number): Float64Array => {
    const signal = new Float64Array(length);
    const stream = (stage: string) => createRandom(`${seed} ${stage}`);
    addNoise(signal, 0.2, levels, {
      white: stream("white"),
      pink: stream("pink"),
      pulsation: stream("pulsation"),
    });
    return signal;
  };

  // Source: S. O. Rice, Bell Syst. Tech. J. 23 (1944) 282 [from memory]; handbook PEAKS §2: up-crossings of a level U by
  // white noise through the negative second derivative of a Gaussian, T√2.5/(2πs)·exp(−U²/2).
  it("passes a level through the detection filter as often as Rice's formula says", () => {
    const s = 10;
    const kernel = Array.from({ length: 101 }, (_, i) => {
      const u = (i - 50) / s;
      return (1 - u * u) * Math.exp((-u * u) / 2);
    });
    const gain = Math.sqrt(kernel.reduce((sum, k) => sum + k * k, 0));
    let crossings = 0;
    for (const seed of [1, 2, 3]) {
      const white = noise({ white: 1, pink: 0, pulsation: 0 }, seed);
      let before = 0;
      for (let i = 50; i + 50 < length; i++) {
        let filtered = 0;
        for (let k = 0; k < 101; k++) filtered += kernel[k] * white[i - 50 + k];
        filtered /= gain;
        if (before < 2 && filtered >= 2) crossings++;
        before = filtered;
      }
    }
    const expected = ((3 * length) / s) * (Math.sqrt(2.5) / (2 * Math.PI)) * Math.exp(-2);
    expect(Math.abs(crossings / expected - 1)).toBeLessThan(4 / Math.sqrt(expected));
  });

  it("has the stated 1/f part, related over seconds and minutes as a sum of octaves is", () => {
    const lags = [0, 5, 300];
    const products = lags.map(() => 0);
    for (const seed of [1, 2, 3]) {
      const pink = noise({ white: 0, pink: 1, pulsation: 0 }, seed);
      for (const [k, lag] of lags.entries()) {
        for (let i = 0; i + lag < length; i++) products[k] += (pink[i] * pink[i + lag]) / (length - lag) / 3;
      }
    }
    for (const [k, lag] of lags.entries()) {
      const octaves = Array.from({ length: 13 }, (_, j) =>
        Math.exp((-2 * Math.PI * 2 ** j * lag * 0.2) / 3000),
      );
      const expected = octaves.reduce((sum, y) => sum + y, 0) / octaves.length;
      // Three records of 200 min hold about 25 independent values of the slowest octave.
      expect(Math.abs(products[k] - expected)).toBeLessThan(0.15);
    }
  });

  it("pulsates at 0.55 Hz with the stated amplitude", () => {
    const pulsation = noise({ white: 0, pink: 0, pulsation: 2 }, 1).subarray(0, 500);
    let [cosine, sine] = [0, 0];
    for (let i = 0; i < 500; i++) {
      cosine += (pulsation[i] * Math.cos(2 * Math.PI * 0.55 * 0.2 * i)) / 250;
      sine += (pulsation[i] * Math.sin(2 * Math.PI * 0.55 * 0.2 * i)) / 250;
    }
    expect(Math.hypot(cosine, sine)).toBeCloseTo(2, 1);
  });
});

describe("the drift of an instrument", () => {
  it("starts at the nominal state, keeps flow and temperature, lets the eluent walk and wears the column out", () => {
    const ends = [1, 2, 3].flatMap((seed) =>
      Array.from({ length: 100 }, (_, i) => instrumentDrift(60, createRandom(`${seed} ${i}`))),
    );
    expect(ends[0][0]).toEqual(NOMINAL);
    const spread = (of: (states: (typeof ends)[0]) => number): number =>
      Math.sqrt(ends.reduce((sum, states) => sum + of(states) ** 2, 0) / ends.length);
    expect(spread((states) => states[59].eluent) / (0.001 * Math.sqrt(59))).toBeCloseTo(1, 0.7);
    expect(spread((states) => states[59].flow) / 0.001).toBeCloseTo(1, 0.7);
    expect(ends[0][50].capacity).toBeCloseTo(0.9998 ** 50, 12);
  });
});
