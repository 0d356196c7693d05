import { describe, expect, it } from "vitest";
import { groupUnknowns } from "../../toolkit/batch/quantify/name-unknowns.js";
import {
  expectedTime,
  followDrift,
  matchInOrder,
  type NamedRun,
  nameRun,
  type ReferenceTime,
  type TimedPeak,
  UNALIGNED,
} from "../../toolkit/batch/quantify/retention.js";
import { createRandom, type Random } from "../../toolkit/numeric/random.js";
import { channelOf, methodIon, peak, run } from "./quantify-objects.js";

// Retention times are invented. The outcomes are claims about these simulations (seeds 1–3), not about any column.

const TIMES: readonly (readonly [string, number, number])[] = [
  ["fluoride", 1, 3.0],
  ["chloride", 1, 5.2],
  ["nitrite", 1, 6.3],
  ["bromide", 1, 8.4],
  ["nitrate", 1, 9.6],
  ["sulfate", 2, 12.0],
  ["phosphate", 3, 15.5],
];
const REFERENCES: readonly ReferenceTime[] = TIMES.map(([ion, charge, time]) => ({
  ion,
  charge,
  time,
  shiftPerArea: 0,
  scatter: 0.0015,
  readings: 14,
}));
const WINDOWS = TIMES.map(([ion, , time]) => methodIon(ion, time, 0.3));
const NITRATE = 4;

const timed = (time: number): TimedPeak => ({ time, uTime: 0.0005 * time, height: 10, area: 1 });
const anywhere = () => true;

describe("peaks and ions are paired in order of time", () => {
  const names = (...times: number[]) => matchInOrder(times.map(timed), REFERENCES, UNALIGNED, anywhere);

  it("each peak at its own time gets its own ion", () => {
    expect(names(...TIMES.map(([, , t]) => t))).toEqual([0, 1, 2, 3, 4, 5, 6]);
  });

  it("a missing ion moves no other name", () => {
    expect(names(3.0, 6.3, 15.5)).toEqual([0, 2, 6]);
  });

  it("of two peaks at one ion the nearer gets the name and the other none", () => {
    expect(names(9.6, 9.62)).toEqual([4, undefined]);
    expect(names(9.58, 9.6)).toEqual([undefined, 4]);
  });

  it("four standard deviations are the border between a name and none", () => {
    const one = Math.hypot(0.0015 * 9.6, 0.0005 * 9.6);
    expect(names(9.6 + 3.95 * one)).toEqual([4]);
    expect(names(9.6 + 4.05 * one)).toEqual([undefined]);
  });

  it("names never cross, whatever the peaks (seeds 1–3)", () => {
    for (const seed of [1, 2, 3]) {
      const random = createRandom(seed);
      let named = 0;
      for (let trial = 0; trial < 200; trial++) {
        const times = Array.from({ length: 12 }, () => 2.5 + 14 * random.uniform()).sort((a, b) => a - b);
        const wide = REFERENCES.map((r) => ({ ...r, scatter: 0.03 }));
        const found = matchInOrder(times.map(timed), wide, UNALIGNED, anywhere).filter(
          (j) => j !== undefined,
        );
        named += found.length;
        expect(found).toEqual([...new Set(found)].sort((a, b) => a - b));
      }
      expect(named).toBeGreaterThan(400);
    }
  });
});

interface Trial {
  readonly peaks: readonly TimedPeak[];
  /** Which ion each peak is; undefined for the stranger. */
  readonly truth: readonly (number | undefined)[];
}

/** Peaks of one run: every ion with probability `share`, a stranger beside nitrate, all shifted alike. */
function trial(random: Random, shift: number, stranger: number | undefined, share: number): Trial {
  const ions = TIMES.flatMap(([, , time], j) =>
    random.uniform() < share ? [{ j: j as number | undefined, time }] : [],
  );
  if (stranger !== undefined) ions.push({ j: undefined, time: TIMES[NITRATE][2] * (1 + stranger) });
  const all = ions
    .map(({ j, time }) => ({ j, time: time * Math.exp(shift + 0.001 * random.normal()) }))
    .sort((a, b) => a.time - b.time);
  return { peaks: all.map((p) => timed(p.time)), truth: all.map((p) => p.j) };
}

function tally(named: NamedRun, { truth }: Trial) {
  const out = { right: 0, wrong: 0, missed: 0, strangersNamed: 0 };
  truth.forEach((j, i) => {
    const name = named.names[i];
    if (j === undefined) out.strangersNamed += name === undefined ? 0 : 1;
    else if (name === j) out.right++;
    else if (name === undefined) out.missed++;
    else out.wrong++;
  });
  return out;
}

function totals(seed: number, shift: number, stranger: number | undefined, share = 1) {
  const random = createRandom(seed);
  const sum = { right: 0, wrong: 0, missed: 0, strangersNamed: 0 };
  for (let i = 0; i < 200; i++) {
    const one = trial(random, shift, stranger, share);
    const found = tally(nameRun(one.peaks, REFERENCES, WINDOWS, UNALIGNED), one);
    for (const key of ["right", "wrong", "missed", "strangersNamed"] as const) sum[key] += found[key];
  }
  return sum;
}

describe("a run is aligned before its peaks are named", () => {
  it.each([1, 2, 3])("a stranger 2.4 per cent from nitrate is never named, either side (seed %i)", (seed) => {
    for (const stranger of [0.024, -0.024]) {
      const found = totals(seed, 0, stranger);
      expect(found).toMatchObject({ wrong: 0, strangersNamed: 0 });
      expect(found.right).toBeGreaterThan(0.99 * 1400);
    }
  });

  it.each([1, 2, 3])(
    "nor where nitrate itself is absent, though its window would take it (seed %i)",
    (seed) => {
      const random = createRandom(seed);
      let strangersNamed = 0;
      for (let i = 0; i < 200; i++) {
        const one = trial(random, 0, 0.024, 1);
        const keep = one.truth.map((j) => j !== NITRATE);
        const peaks = one.peaks.filter((_, k) => keep[k]);
        const truth = one.truth.filter((_, k) => keep[k]);
        expect(Math.abs(peaks[truth.indexOf(undefined)].time - TIMES[NITRATE][2])).toBeLessThan(0.3);
        strangersNamed += tally(nameRun(peaks, REFERENCES, WINDOWS, UNALIGNED), {
          peaks,
          truth,
        }).strangersNamed;
      }
      expect(strangersNamed).toBe(0);
    },
  );

  it.each([1, 2, 3])(
    "a sudden shift of −2.5 per cent is followed, the stranger left alone (seed %i)",
    (seed) => {
      const found = totals(seed, Math.log(0.975), 0.024);
      expect(found).toMatchObject({ wrong: 0, strangersNamed: 0 });
      expect(found.right).toBeGreaterThan(0.99 * 1400);
    },
  );

  it("the alignment found is the shift that was put in, less the pull of the last run", () => {
    const shifted = TIMES.map(([, , t]) => timed(t * 0.975));
    const { alignment } = nameRun(shifted, REFERENCES, WINDOWS, UNALIGNED);
    expect(alignment.common).toBeCloseTo(Math.log(0.975), 2);
    expect(expectedTime(REFERENCES[5], alignment, 0)).toBeCloseTo(12 * 0.975, 1);
  });

  it.each([1, 2, 3])("a slow drift of −3 per cent over 30 runs costs no name (seed %i)", (seed) => {
    const random = createRandom(seed);
    let prior = UNALIGNED;
    let current: readonly ReferenceTime[] = REFERENCES;
    const sum = { right: 0, wrong: 0, missed: 0 };
    for (let i = 0; i < 30; i++) {
      const one = trial(random, (Math.log(0.97) * i) / 29, undefined, 1);
      const named = nameRun(one.peaks, current, WINDOWS, prior);
      current = followDrift(REFERENCES, current, one.peaks, named);
      prior = named.alignment;
      const found = tally(named, one);
      sum.right += found.right;
      sum.wrong += found.wrong;
      sum.missed += found.missed;
    }
    expect(sum.wrong).toBe(0);
    expect(sum.right).toBeGreaterThanOrEqual(208);
  });
});

describe("few peaks are enough to align on", () => {
  it.each([1, 2, 3])("half the ions missing at random costs no right name (seed %i)", (seed) => {
    const found = totals(seed, -0.01, undefined, 0.5);
    expect(found.wrong).toBe(0);
    expect(found.right).toBeGreaterThan(0.99 * (found.right + found.missed));
    expect(found.right).toBeGreaterThan(600);
  });
});

describe("peaks without a name are followed over the batch", () => {
  const ions = [methodIon("chloride", 5.2)];
  const stranger = (time: number, over = {}) => peak({ time, area: 10, uNoise: 0.1, ...over });
  const seen = (found: ReturnType<typeof peak>, significance: number) => ({
    ...found,
    raw: found.raw && { ...found.raw, significance },
  });
  const batch = (...runs: ReturnType<typeof run>[]) => groupUnknowns(channelOf(ions, runs), 1);
  const sampleRun = (id: string, ...peaks: ReturnType<typeof peak>[]) => run({ id, kind: "sample" }, peaks);
  const blank = (id: string, ...peaks: ReturnType<typeof peak>[]) => run({ id, kind: "blank" }, peaks);
  const names = (groups: ReturnType<typeof batch>) =>
    groups.map((g) => [g.name, ...g.members.map((m) => m.run.injection.id).sort()]);

  it("numbers follow the order of first appearance, then time; one peak keeps one number", () => {
    const groups = batch(
      blank("b1"),
      sampleRun("1", stranger(9)),
      sampleRun("2", stranger(4), stranger(7)),
      sampleRun("3", stranger(4.01), stranger(9.02)),
    );
    expect(names(groups)).toEqual([
      ["unknown-1", "1", "3"],
      ["unknown-2", "2", "3"],
      ["unknown-3", "2"],
    ]);
  });

  it("a drift of the run is taken off before peaks are compared", () => {
    const drifted = run({ id: "2", kind: "sample" }, [stranger(9 * Math.exp(-0.02))], {
      common: -0.02,
      perCharge: 0,
    });
    expect(names(batch(sampleRun("1", stranger(9)), drifted))).toEqual([["unknown-1", "1", "2"]]);
    const unmoved = run({ id: "2", kind: "sample" }, [stranger(9 * Math.exp(-0.02))]);
    expect(batch(sampleRun("1", stranger(9)), unmoved)).toHaveLength(2);
  });

  it("what two blanks or standards show belongs to the system", () => {
    const groups = batch(
      blank("b1", stranger(7)),
      run({ id: "c1", kind: "calibration" }, [stranger(7)]),
      sampleRun("1", stranger(7), stranger(9)),
    );
    expect(groups.map((g) => [g.name, g.system])).toEqual([
      ["system-1", true],
      ["unknown-1", false],
    ]);
  });

  it("one blank that shows it is carry-over, not the system", () => {
    const groups = batch(sampleRun("1", stranger(7)), blank("b1", stranger(7)), blank("b2"));
    expect(groups.map((g) => g.name)).toEqual(["unknown-1"]);
  });

  it("two among more than twenty runs without a sample are still no system", () => {
    const clean = (n: number) => Array.from({ length: n }, (_, i) => blank(`clean ${i}`));
    const seen = [blank("b1", stranger(7)), blank("b2", stranger(7))];
    expect(batch(...seen, ...clean(18))[0].system).toBe(true);
    expect(batch(...seen, ...clean(19))[0].system).toBe(false);
  });

  it("a broad peak is the system's wherever it is seen", () => {
    expect(batch(sampleRun("1", stranger(7, { broad: true })))[0].system).toBe(true);
  });

  it("named peaks, absent ions and areas within noise are no unknowns", () => {
    const faint = seen(stranger(9, { area: 0.25 }), 6);
    const groups = batch(sampleRun("1", stranger(5.2, { ion: 0 }), stranger(7, { raw: undefined }), faint));
    expect(groups).toEqual([]);
  });

  it("what is clearly seen stays on the record, however badly its background lets its area be known", () => {
    const doubtful = stranger(9, { area: 0.25 });
    expect(names(batch(sampleRun("1", seen(doubtful, 100))))).toEqual([["unknown-1", "1"]]);
    const below = stranger(9, { area: -0.25 });
    expect(batch(sampleRun("1", seen(below, 100)))).toEqual([]);
  });

  it("the numbers of system peaks go on from where they are told to", () => {
    const runs = [blank("b1", stranger(7)), blank("b2", stranger(7))];
    expect(groupUnknowns(channelOf(ions, runs), 2).map((g) => g.name)).toEqual(["system-2"]);
  });
});
