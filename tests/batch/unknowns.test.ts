// The road-salt batches are invented; truth.json says what the simulator put into every sample.
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { groupUnknowns } from "../../toolkit/batch/quantify/name-unknowns.js";
import { makeResults } from "../../toolkit/batch/quantify/results.js";
import { mostTelling } from "../../toolkit/batch/quantify/unknown-peaks.js";
import type { EvaluatedTrace, Results, UnknownNaming, UnknownPeak } from "../../toolkit/batch/types.js";
import { followUnknowns } from "../../toolkit/batch/unknowns/follow-unknowns.js";
import { spikeConfirmation } from "../../toolkit/batch/unknowns/spike-confirmation.js";
import { unknownPlace } from "../../toolkit/batch/unknowns/unknown-place.js";
import { chargeFromStrengths } from "../../toolkit/separation/charge-from-strengths.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import { DEMO_FOLDER, demoResults } from "./demo-results.js";
import { refusalOf } from "./refusal.js";

interface Truth {
  readonly samples: readonly {
    readonly sample: string;
    readonly unknowns: readonly { readonly ion: string; readonly microequivalentsPerLiter: number }[];
  }[];
}
const truth: Truth = JSON.parse(readFileSync(`${DEMO_FOLDER}truth.json`, "utf8"));
const truthOf = (sample: string, ion: string) =>
  truth.samples.find((each) => each.sample === sample)?.unknowns.find((each) => each.ion === ion)
    ?.microequivalentsPerLiter ?? Number.NaN;

const of = (call: () => unknown) => Promise.resolve().then(call);

let found: Results;
beforeAll(async () => {
  found = await demoResults();
}, 30_000);

describe("the unidentified peaks of a batch", () => {
  it("hold the true charge in their 95 % interval", () => {
    for (const [name, ion] of [
      ["unknown-1", "formate"],
      ["unknown-2", "methanesulfonate"],
    ] as const) {
      const sights = found.unknowns.find((each) => each.name === name)?.seenIn ?? [];
      expect(sights).toHaveLength(2);
      for (const { sample = "", microequivalents, upper } of sights) {
        const { low = Number.NaN, high = Number.NaN } = microequivalents?.interval() ?? {};
        expect(low).toBeLessThan(truthOf(sample, ion));
        expect(high).toBeGreaterThan(truthOf(sample, ion));
        expect(upper?.value).toBeGreaterThan(high);
      }
    }
  });

  it("tell how often, since when, beside what, and have the true ion among their candidates, but no name", () => {
    const [first, second] = found.unknowns;
    expect(first.about).toMatchObject({ injections: 2, samples: 2, blanks: { seen: 0, of: 7 } });
    expect(first.about?.firstSeen.slice(0, 10)).toBe("2026-03-16");
    expect(first.about?.lastSeen.slice(0, 10)).toBe("2026-03-17");
    expect(first.about?.seenWith).toEqual([{ name: "unknown-2", samples: 2 }]);
    expect(first.about?.largest?.sample).toBe("well 2 (12 Mar)");
    const ions = (peak: UnknownPeak) => peak.about?.place.candidates.map(({ ion }) => ion);
    expect(ions(first)).toContain("formate");
    expect(ions(second)).toContain("methanesulfonate");
    expect(first.about?.place.candidates.find(({ ion }) => ion === "formate")?.confirmBy).toContain(
      "a spike of formate",
    );
    for (const peak of found.peaks) {
      if (peak.identity === "unknown") expect(peak.ion).toMatch(/^unknown-\d+$/);
    }
  });

  it("enter the balance between two ends, and the least decides", () => {
    const balance = found.balance("well 2 (19 Feb)");
    const sum = truthOf("well 2 (19 Feb)", "formate") + truthOf("well 2 (19 Feb)", "methanesulfonate");
    const { low = Number.NaN, high = Number.NaN } = balance.unknownAnions?.interval() ?? {};
    expect(low).toBeLessThan(sum / 1000);
    expect(high).toBeGreaterThan(sum / 1000);
    expect(balance.unknownAnionsUpper?.value).toBeGreaterThan(high);
    expect(balance.unknownAnionsUpper?.unit).toBe("meq/L");
  });

  it("are counted where they are surest: the most diluted sight that is good to 5 %, else the least diluted one", () => {
    const sight = (dilution: number, value: number, u: number) => ({
      dilution,
      microequivalents: measured(value, "µeq/L", { u }),
    });
    const [raw, tenfold, hundredfold] = [sight(1, 400, 2), sight(10, 46, 1), sight(100, 4.8, 0.6)];
    expect(mostTelling([raw, tenfold, hundredfold])).toBe(tenfold);
    expect(mostTelling([hundredfold, sight(10, 46, 5), sight(1, 400, 30)])?.dilution).toBe(1);
    expect(mostTelling([hundredfold])).toBe(hundredfold);
    expect(mostTelling([])).toBeUndefined();
  });
});

describe("candidates by the order of elution (handbook of the laboratory, identity §7, from memory)", () => {
  const named = [
    { ion: "fluoride", time: 3 },
    { ion: "chloride", time: 5 },
    { ion: "nitrate", time: 9 },
    { ion: "sulfate", time: 12 },
  ];
  const ions = ["fluoride", "chloride", "nitrite", "nitrate", "sulfate", "phosphate"];
  const at = (time: number, eluent: string, channel: "anion" | "cation" = "anion") =>
    unknownPlace(time, named, { channel, eluent, ions });
  it("are those that usually elute between the named neighbours and have no standard in the method", () => {
    const place = at(7, "hydroxide");
    expect(place).toMatchObject({ after: "chloride", before: "nitrate" });
    expect(place.candidates.map(({ ion }) => ion)).toEqual(["chlorate", "bromide"]);
  });
  it("tell what would confirm them: a spike, and the charge where it differs", () => {
    const { candidates } = at(13, "KOH");
    const oxalate = candidates.find(({ ion }) => ion === "oxalate");
    const iodide = candidates.find(({ ion }) => ion === "iodide");
    expect(oxalate?.confirmBy).toContain("its charge, 2, by a second eluent strength");
    expect(iodide?.confirmBy).toContain("its charge, 1, by a second eluent strength");
  });
  it("with carbonate phosphate comes before sulfate, with hydroxide behind", () => {
    const without = { channel: "anion", ions: [] } as const;
    const ionsAt = (eluent: string) =>
      unknownPlace(10, named, { ...without, eluent }).candidates.map(({ ion }) => ion);
    expect(ionsAt("carbonate / hydrogencarbonate")).toContain("phosphate");
    expect(ionsAt("hydroxide")).not.toContain("phosphate");
  });
  it("are none for an eluent without a usual order, and where the neighbours stand in another order", () => {
    expect(at(7, "phthalate")).toMatchObject({ candidates: [], note: /no usual order/ });
    const crossed = unknownPlace(13, [named[3], { ion: "nitrate", time: 14 }], {
      channel: "anion",
      eluent: "hydroxide",
      ions,
    });
    expect(crossed.candidates).toEqual([]);
  });
});

/** The demonstration again, as of another day: all times changed by a factor, its unknowns renamed. */
function anotherDay(factor: number, change: (peak: UnknownPeak) => UnknownPeak): Results {
  const traces = new Map(
    [...found.traces].map(([id, trace]): [string, EvaluatedTrace] => [
      id,
      {
        ...trace,
        peaks: trace.peaks.map((peak) => ({ ...peak, retentionTime: factor * peak.retentionTime })),
      },
    ]),
  );
  return makeResults({
    ...found,
    title: "another day (invented)",
    batches: found.batches.map((batch) => ({
      ...batch,
      injections: batch.injections.map((each) => ({
        ...each,
        injectedAt: each.injectedAt.replace("2026", "2027"),
      })),
    })),
    traces,
    unknowns: found.unknowns.map((peak) => change({ ...peak, retentionTime: factor * peak.retentionTime })),
  });
}

describe("unknowns followed over several batches", () => {
  const other = { "unknown-1": "unknown-2", "unknown-2": "unknown-1" } as Record<string, string>;
  it("one batch alone keeps its names, and the blanks' own are listed apart", () => {
    const register = followUnknowns(found);
    expect(register.unknowns.map(({ name }) => name)).toEqual(found.unknowns.map(({ name }) => name));
    expect(register.ofBlanks.length).toBeGreaterThan(0);
    for (const { seen, of } of register.ofBlanks) expect(seen / of).toBeGreaterThanOrEqual(0.5);
  });
  it("a fresh eluent that moves all times by 2 % changes no name, whatever the batch calls its peaks", () => {
    const later = anotherDay(0.98, (peak) => ({ ...peak, name: other[peak.name] ?? peak.name }));
    const register = followUnknowns([later, found]);
    expect(register.unknowns).toHaveLength(found.unknowns.length);
    expect(register.unknowns[0].batches.map(({ name }) => name)).toEqual(["unknown-1", "unknown-2"]);
    expect(register.unknowns[0]).toMatchObject({ name: "unknown-1", injections: 4, samples: 4 });
    expect(register.unknowns[0].retentionTime).toBeCloseTo(found.unknowns[0].retentionTime, 2);
  });
  it("a peak elsewhere is another one, and so is one half again as wide (of the previous injection)", () => {
    const moved = anotherDay(1, (peak) => ({ ...peak, retentionTime: 1.02 * peak.retentionTime }));
    expect(followUnknowns([found, moved]).unknowns).toHaveLength(2 * found.unknowns.length);
    const wider = anotherDay(1, (peak) =>
      peak.about ? { ...peak, about: { ...peak.about, widthHalf: 1.5 * (peak.about.widthHalf ?? 0) } } : peak,
    );
    expect(followUnknowns([found, wider]).unknowns).toHaveLength(2 * found.unknowns.length);
  });
  it("wants results of quantify", async () => {
    expect(await refusalOf(of(() => followUnknowns([] as never)))).toMatchObject({ code: "no-results" });
    expect(await refusalOf(of(() => followUnknowns([{}] as never)))).toMatchObject({ code: "no-results" });
  });
});

describe("a name for an unknown", () => {
  const sight = (retentionTime: number, widthHalf = 0.14) => ({ retentionTime, widthHalf });
  const spike = (ion: string, recovery = 99) =>
    spikeConfirmation({ ion, unspiked: sight(4.326), spiked: sight(4.328), recovery, newShoulder: false });
  const naming = (more: Partial<UnknownNaming>): UnknownNaming => ({
    unknown: "unknown-1",
    ion: "formate",
    on: "2026-05-12",
    evidence: [spike("formate")],
    ...more,
  });
  it("is a dated event that leaves what was found before as it was", () => {
    const register = followUnknowns(found);
    const later = register.name(naming({}));
    expect(register.unknowns[0].knownAs).toBeUndefined();
    expect(later.unknowns[0]).toMatchObject({
      name: "unknown-1",
      knownAs: { ion: "formate", on: "2026-05-12" },
    });
    expect(later.namings).toHaveLength(1);
    expect(found.unknowns[0].name).toBe("unknown-1");
    expect(String(later)).toContain("formate since 2026-05-12");
  });
  it.each([
    ["no-evidence", { evidence: [] }],
    ["no-evidence", { evidence: [{ kind: "other method", what: " " }] }],
    ["contradicting-evidence", { evidence: [spike("formate", 70)] }],
    ["contradicting-evidence", { evidence: [spike("acetate")] }],
    ["contradicting-evidence", { ion: "oxalate", evidence: [spike("oxalate"), oneCharge()] }],
    ["contradicting-evidence", { ion: "sodium" }],
    ["bad-date", { on: "last week" }],
    ["unknown-peak", { unknown: "unknown-99" }],
    ["unknown-ion", { ion: "formiat" }],
    ["unknown-option", { since: "2026-05-12" }],
  ] as const)("is refused with %s", async (code, wrong) => {
    expect(await refusalOf(of(() => followUnknowns(found).name(naming(wrong as never))))).toMatchObject({
      code,
    });
  });
  it("a charge alone names nothing", async () => {
    const call = () => followUnknowns(found).name(naming({ evidence: [oneCharge()] }));
    expect(await refusalOf(of(call))).toMatchObject({ code: "no-evidence" });
  });
  it("the spike fails where the peak moves, widens, gets a shoulder or recovers badly", () => {
    const failed = spikeConfirmation({
      ion: "formate",
      unspiked: sight(4.326),
      spiked: sight(4.36, 0.17),
      recovery: 80,
      newShoulder: true,
    });
    expect(failed.tests.map(({ passed }) => passed)).toEqual([false, false, false, false]);
    expect(spike("formate").tests.map(({ passed }) => passed)).toEqual([true, true, true, true]);
  });
  it.each([
    { ion: "formate", recovery: -1 },
    { ion: "formate", newShoulder: "no" },
    { ion: "formate", spiked: { retentionTime: 0, widthHalf: 1 } },
  ])("the spike refuses what is no figure", async (wrong) => {
    const right = { ion: "formate", unspiked: sight(4), spiked: sight(4), recovery: 100, newShoulder: false };
    const call = () => spikeConfirmation({ ...right, ...wrong } as never);
    expect(await refusalOf(of(call))).toMatchObject({ code: "bad-option" });
  });
});

/** 1 at 10 and 20 mmol/L: k halves. */
function oneCharge() {
  return chargeFromStrengths({
    weaker: { concentration: 10, retentionTime: 5.3 },
    stronger: { concentration: 20, retentionTime: 3.3 },
    holdUpTime: 1.3,
  });
}

describe("peaks of one run", () => {
  it("are never one unknown, however close they stand", () => {
    // 0.5 % apart, nearer than what is otherwise followed as one peak over the batch.
    const run = (id: string, times: readonly number[]) => ({
      injection: { id, kind: "sample" },
      alignment: { common: 0, perCharge: 0 },
      peaks: times.map((time) => ({
        time,
        area: 1,
        uNoise: 0.01,
        broad: false,
        raw: { broad: false, significance: 100 },
        ion: undefined,
      })),
    });
    const runs = [run("A1", [5, 5.025]), run("A2", [5.001]), run("A3", [5.026])];
    const groups = groupUnknowns({ runs, widths: { at: () => 0.1 } } as never, 1);
    expect(groups.map(({ name, members }) => [name, members.length])).toEqual([
      ["unknown-1", 2],
      ["unknown-2", 2],
    ]);
  });
});
