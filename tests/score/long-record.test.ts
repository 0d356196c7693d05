// Ten million points: five and a half hours at 500 readings a second, invented, seeded. Processor time and peak memory are
// printed; memory is judged in arrays of the signal's length, the two of the record included.
import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { type BaselineMethod, estimateBaseline } from "../../toolkit/signal/baseline.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";

const LONGEST = 1e7;
const RATE = 30_000; // per min
const SIGMA = 0.001; // min: 30 samples, as 6 s at 5 readings a second

function record(n: number) {
  const random = createRandom(1);
  const time = new Float64Array(n);
  const signal = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    time[i] = i / RATE;
    const t = (i % 6000) / 6000 - 0.5;
    signal[i] = 1 + 0.2 * Math.sin(i / 40_000) + Math.exp(-0.5 * (200 * t) ** 2) + 0.001 * random.normal();
  }
  return makeChromatogram({ id: `${n} points`, time, signal });
}

setFlagsFromString("--expose-gc");
const collect = runInNewContext("gc") as () => void;

function measure(chromatogram: ReturnType<typeof record>, method: BaselineMethod, maxIterations: number) {
  const n = chromatogram.time.length;
  collect();
  const before = process.memoryUsage().rss;
  const start = process.cpuUsage();
  const { values } = estimateBaseline(chromatogram, {
    method,
    from: 0,
    peakWidth: SIGMA,
    maxIterations,
    ...(method === "masked" ? { excluded: [[0.08, 0.12]] } : {}),
  });
  const { user, system } = process.cpuUsage(start);
  // The highest mark of the process: only a method that goes higher than all before it moves it.
  const peak = 1024 * process.resourceUsage().maxRSS;
  return {
    seconds: (user + system) / 1e6,
    arrays: 2 + (peak - before) / (8 * n),
    finite: values.every(Number.isFinite),
  };
}

describe("ten million points", () => {
  const [long, tenth] = [record(LONGEST), record(LONGEST / 10)];

  it.each<BaselineMethod>(["masked", "airPLS", "SNIP", "arPLS", "AsLS"])(
    "%s: at most 12 arrays of the signal's length, time in proportion to the points",
    (method) => {
      const short = measure(tenth, method, 10);
      const full = measure(long, method, 10);
      console.log(
        `${method.padEnd(8)} 10 iterations at most: ${full.seconds.toFixed(1)} s for 10⁷ points, ${short.seconds.toFixed(2)} s for 10⁶; peak ${full.arrays.toFixed(1)} arrays`,
      );
      expect(full.finite).toBe(true);
      expect(full.arrays).toBeLessThanOrEqual(12);
      expect(full.seconds / short.seconds).toBeLessThan(20);
    },
  );

  it("arPLS to its end", () => {
    const { seconds, finite } = measure(long, "arPLS", 60);
    console.log(`arPLS    to its end: ${seconds.toFixed(1)} s for 10⁷ points`);
    expect(finite).toBe(true);
  });
});
