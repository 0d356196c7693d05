import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import type { LadderData, LimitDefinition, LimitRole } from "../../toolkit/limits/ladder-types.js";
import { LIMIT_DEFINITIONS, limitLadder } from "../../toolkit/limits/limit-ladder.js";
import { limitsInForce } from "../../toolkit/limits/limits-in-force.js";
import { pooledStandardDeviation, spreadFactors } from "../../toolkit/limits/spread.js";
import { studentQuantile } from "../../toolkit/numeric/distributions.js";
import { codeOf, pointsOf } from "../calibration/published.js";
import { nitrite } from "./nitrite.js";

const ladder = limitLadder(nitrite);

// Handbook DETECTION §3, every number as printed there [computed there; made-up data]; two of them appear in §6.
const PRINTED: readonly (readonly [LimitDefinition, Partial<Record<LimitRole, string>>])[] = [
  ["signal-to-noise", { "detection limit": "0.0018", "quantification limit": "0.0060" }],
  ["signal-to-noise-everyday", { "detection limit": "0.0036", "quantification limit": "0.0121" }],
  ["blank-3s", { "detection limit": "0.0047", "quantification limit": "0.0123" }],
  ["blank-3s-net", { "detection limit": "0.0033" }],
  ["currie", { "critical value": "0.0021", "detection limit": "0.0042" }],
  ["currie-exact", { "detection limit": "0.0041" }],
  ["currie-paired", { "critical value": "0.0028", "detection limit": "0.0056" }],
  ["currie-paired-exact", { "detection limit": "0.0055" }],
  ["currie-quantification", { "quantification limit": "0.0109" }],
  ["method-detection-limit", { "detection limit": "0.00572" }],
  ["minimum-level-3.18", { "quantification limit": "0.0182" }],
  ["minimum-level-3", { "quantification limit": "0.0172" }],
  ["eurachem", { "detection limit": "0.0034", "quantification limit": "0.0114" }],
  ["ich-residual", { "detection limit": "0.0017", "quantification limit": "0.0051" }],
  ["ich-intercept", { "detection limit": "0.0009", "quantification limit": "0.0028" }],
  ["iso-11843-2", { "critical value": "0.0012", "detection limit": "0.0024" }],
  ["hubaux-vos", { "critical value": "0.0012", "detection limit": "0.0025" }],
  ["din-32645", { "detection limit": "0.0025", "quantification limit": "0.0048" }],
  ["clinical", { "critical value": "0.0032", "detection limit": "0.0065" }],
  ["functional-sensitivity", { "detection limit": "0.0058", "quantification limit": "0.0158" }],
  ["reporting-level-confirmation", { "reporting limit": "0.020" }],
  ["counting", { "critical value": "0.0176", "detection limit": "0.0360" }],
];

describe("the ladder of one set of nitrite data (handbook DETECTION §3)", () => {
  it.each(PRINTED)("%s: %o, to every printed digit", (id, limits) => {
    const rung = ladder.rung(id);
    for (const [role, printed] of Object.entries(limits)) {
      const found = rung.limits.find((limit) => limit.role === role);
      expect(found?.value.toFixed(printed.split(".")[1].length), role).toBe(printed);
    }
  });

  it("prints what lies behind them: MDL 0.00572 from spikes and 0.00452 from blanks, θ 0.0724, 75 to 145 %", () => {
    expect(ladder.rung("method-detection-limit").remark).toContain(
      "from spikes 0.00572, from blanks 0.00452",
    );
    expect(ladder.rung("functional-sensitivity").remark).toContain("θ = 0.0724");
    expect(ladder.rung("reporting-level-confirmation").remark).toContain("75 to 145 %");
    expect(ladder.spread?.standardDeviation.toFixed(6)).toBe("0.001087");
    expect(ladder.spread?.mean.toFixed(5)).toBe("0.00145");
  });

  it("spans 0.0009 to 0.0065 for the detection limit, sevenfold", () => {
    const called = ladder.rungs.flatMap((rung) => (rung.unit === "mg/L" ? (rung.detectionLimit ?? []) : []));
    expect(Math.min(...called).toFixed(4)).toBe("0.0009");
    expect(Math.max(...called).toFixed(4)).toBe("0.0065");
    expect(ladder.span?.toFixed(0)).toBe("7");
  });

  it("§5: s of eight replicates is known to 0.66 … 2.04, and so is every limit that rests on it", () => {
    const { low, high } = spreadFactors(7);
    expect([low.toFixed(2), high.toFixed(2)]).toEqual(["0.66", "2.04"]);
    const { value = 0, interval } = ladder.rung("method-detection-limit");
    expect(interval?.low).toBeCloseTo(low * value, 12);
    expect(interval?.high).toBeCloseTo(high * value, 12);
  });

  it("§5: 0.00191 and 0.0016 pool to 0.00176, with t 2.624 to 0.0046", () => {
    const { standardDeviation, dof } = pooledStandardDeviation([
      { standardDeviation: 0.00191, dof: 7 },
      { standardDeviation: 0.0016, dof: 7 },
    ]);
    expect(standardDeviation.toFixed(5)).toBe("0.00176");
    expect(studentQuantile(0.99, dof).toFixed(3)).toBe("2.624");
    expect((standardDeviation * studentQuantile(0.99, dof)).toFixed(4)).toBe("0.0046");
  });

  it("§6: x_C 0.0021, x_D 0.0042, x_Q 0.0109 are in force, marked once and with the reason", () => {
    const { inForce } = ladder;
    expect(inForce?.definition).toBe("currie");
    expect(inForce?.criticalValue.toFixed(4)).toBe("0.0021");
    expect(inForce?.detectionLimit.toFixed(4)).toBe("0.0042");
    expect(inForce?.quantificationLimit.toFixed(4)).toBe("0.0109");
    expect(inForce?.why).toContain("ten standard deviations");
    expect(ladder.rungs.filter((rung) => rung.inForce).map(({ id }) => id)).toEqual(["currie"]);
  });

  it("every definition is there once, in order, with formula, standard and need", () => {
    const ids = ladder.rungs.map(({ id }) => id);
    expect(ids).toEqual(LIMIT_DEFINITIONS.filter((id) => id !== "given"));
    for (const { formula, standard, needs } of ladder.rungs)
      expect([formula, standard, needs].every((text) => text.length > 2)).toBe(true);
    expect(String(ladder).split("\n")).toHaveLength(1 + ids.length);
    expect(String(ladder)).toContain("▸ Currie");
  });
});

describe("a ladder says what it lacks", () => {
  const reasons = (data: LadderData, id: LimitDefinition) => {
    const rung = limitLadder(data).rung(id);
    return `${rung.requirement}: ${rung.reasons.join("; ")}`;
  };

  it("without any data: every rung by its reason, none in force", () => {
    const empty = limitLadder({});
    expect(empty.inForce).toBeUndefined();
    for (const rung of empty.rungs) {
      expect(rung.requirement).toBe("not met");
      expect(rung.limits).toEqual([]);
      expect(rung.reasons[0].length).toBeGreaterThan(10);
    }
  });

  it("too few blanks, blanks all alike, clipped blanks, blanks without numbers", () => {
    expect(reasons({ blanks: [0.1, 0.2, 0.1] }, "currie")).toContain("not met: 3 of 3 blanks");
    expect(reasons({ blanks: [0, 0, 0, 0, 0] }, "currie")).toContain("agree to the last digit");
    const { blanks } = nitrite;
    expect(reasons({ ...nitrite, leftClipped: true }, "clinical")).toContain("negative readings into zero");
    expect(reasons({ ...nitrite, leftClipped: true }, "method-detection-limit")).toContain("clipped at zero");
    expect(reasons({ blanks: [...(blanks ?? []), null] }, "currie")).toContain(
      "doubtful: 1 of 11 blanks gave no number",
    );
    expect(reasons({ blanks: [0, 0, 0.1, 0.2, 0.3] }, "currie")).toContain("say leftClipped");
    expect(reasons({ blanks: (blanks ?? []).slice(0, 6) }, "blank-3s")).toContain("6 of at least 10 blanks");
  });

  it("spikes: too few, too high, badly recovered, of one day", () => {
    const spikes = nitrite.spikes ?? [];
    const of = (change: (spike: { level: number; value: number }) => object) =>
      reasons(
        { ...nitrite, spikes: spikes.map((spike) => ({ ...spike, ...change(spike) })) },
        "method-detection-limit",
      );
    expect(reasons({ spikes: spikes.slice(1, 7) }, "method-detection-limit")).toBe(
      "not met: there are 6 of at least 7 spikes of one level",
    );
    expect(of(({ value }) => ({ level: 0.2, value: value + 0.18 }))).toContain("times the limit found");
    expect(of(() => ({ level: 0.05 }))).toContain("recovered to 43 %");
    expect(of(() => ({ date: "2026-03-01" }))).toContain("of 1 date; the rule asks for three");
    expect(of(() => ({ date: "2026-03-01", batch: "a" }))).toContain("of 1 batch; the rule asks for three");
    const three = spikes.map((spike, i) => ({
      ...spike,
      date: `2026-03-0${1 + (i % 3)}`,
      batch: `b${i % 3}`,
    }));
    expect(limitLadder({ ...nitrite, spikes: three }).rung("method-detection-limit").requirement).toBe("met");
    const unconfirmed = { level: 0.004, found: [0.001, 0.002, 0.004, 0.006, 0.004, 0.003, 0.005] };
    expect(reasons({ confirmation: unconfirmed }, "reporting-level-confirmation")).toContain("not confirmed");
  });

  it("standards: too few, far from zero, over too wide a span, without scatter, falling, bent", () => {
    const few = pointsOf([0, 1], [0, 1]);
    expect(reasons({ calibration: few }, "din-32645")).toContain("not met");
    const far = pointsOf([1, 10, 100, 1000], [1, 10.01, 99.9, 1000.1]);
    expect(reasons({ calibration: far }, "iso-11843-2")).toContain("span 1.0e+3-fold");
    const exact = pointsOf([0, 1, 2, 3], [0, 1, 2, 3]);
    expect(reasons({ calibration: exact }, "ich-residual")).toContain("no scatter");
    expect(reasons({ calibration: pointsOf([0, 1, 2, 3], [3, 2, 1, 0]) }, "hubaux-vos")).toContain("not met");
    const bent = pointsOf([0, 1, 2, 3, 4, 5], [0, 1, 1.81, 2.4, 2.81, 3.02]);
    expect(reasons({ calibration: bent }, "ich-residual")).toContain("; the response bends");
    const noise = pointsOf([0, 1, 2, 3], [1, 3, 0.5, 2.6]);
    expect(reasons({ calibration: noise }, "hubaux-vos")).toContain("not met: The slope");
    expect(reasons({ calibration: noise }, "din-32645")).toContain(
      "doubtful: the slope is not clearly above zero",
    );
  });

  it("noise: a short trace, a peak that hardly stands out", () => {
    const noise = { concentration: 1, height: 1, peakToPeak: 1 };
    expect(reasons({ noise: { ...noise, widths: 3 } }, "signal-to-noise")).toContain("over 3 peak widths");
    expect(reasons({ noise: { ...noise, widths: 9 } }, "signal-to-noise")).toContain("S/N 2.0");
    expect(reasons({ noise: { ...noise, height: 5, widths: 9 } }, "signal-to-noise")).toBe("met: ");
  });

  it("a scatter that grows too fast or not at all has no functional sensitivity", () => {
    const spikes = [1, 1.6, 0.4, 1.2].map((value) => ({ level: 1, value }));
    expect(reasons({ ...nitrite, spikes }, "functional-sensitivity")).toContain("20 % is never reached");
    const alike = [0.02, 0.0201, 0.0199, 0.02].map((value) => ({ level: 0.02, value }));
    expect(reasons({ ...nitrite, spikes: alike }, "functional-sensitivity")).toContain(
      "no more than the blanks",
    );
  });
});

describe("the limits in force of a ladder", () => {
  it("are those chosen; a definition with one number decides by it", () => {
    const mdl = limitLadder(nitrite, { inForce: "method-detection-limit" });
    expect(mdl.inForce?.criticalValue).toBe(mdl.inForce?.detectionLimit);
    expect(mdl.inForce?.quantificationLimit.toFixed(4)).toBe("0.0182");
    expect(mdl.inForce?.why).toContain("chosen by the analyst");
    const din = limitLadder(nitrite, { inForce: "din-32645" });
    expect(din.inForce?.criticalValue).toBe(ladder.rung("din-32645").criticalValue);
    // Its own limit of 0.0048 lies below the lowest standard.
    expect(din.inForce?.quantificationLimit).toBe(0.01);
    expect(din.inForce?.why).toContain("the lowest standard");
  });

  it("fall back from Currie to ISO 11843-2 below four blanks", () => {
    const { calibration = [] } = nitrite;
    expect(limitLadder({ calibration, blanks: [0.1, 0.2] }).inForce?.definition).toBe("iso-11843-2");
  });

  it("count from the blanks' mean for results as read, as limitsInForce has it", () => {
    const { blanks = [], calibration = [] } = nitrite;
    const asRead = limitLadder(nitrite, { blankCorrected: false }).inForce;
    const judged = limitsInForce({
      calibration: calibrate(calibration),
      blankConcentrations: blanks as readonly number[],
    });
    expect(asRead?.criticalValue).toBeCloseTo(judged.criticalValue, 12);
    expect(asRead?.detectionLimit).toBeCloseTo(judged.detectionLimit, 12);
    expect(asRead?.quantificationLimit).toBeCloseTo(judged.quantificationLimit, 12);
  });

  it("become smaller with replicates averaged: √(1/m + 1/n₀)", () => {
    const four = limitLadder(nitrite, { replicates: 4 }).rung("currie").criticalValue ?? 0;
    const one = ladder.rung("currie").criticalValue ?? 0;
    expect(four / one).toBeCloseTo(Math.sqrt((1 / 4 + 1 / 10) / (1 + 1 / 10)), 12);
  });

  it("may be stated from outside", () => {
    const stated = limitLadder({
      ...nitrite,
      given: { detectionLimit: 0.05, source: "permit 2026, annex 2" },
    });
    expect(stated.inForce).toMatchObject({
      definition: "given",
      criticalValue: 0.05,
      quantificationLimit: 0.05,
    });
    expect(stated.rung("given").standard).toBe("permit 2026, annex 2");
  });
});

describe("a ladder refuses", () => {
  it.each<[string, unknown, unknown]>([
    ["unknown-limit", nitrite, { inForce: "currie-pared" }],
    ["limit-not-computable", {}, { inForce: "currie" }],
    ["limit-not-computable", nitrite, { inForce: "currie-quantification" }],
    ["limit-not-computable", nitrite, { inForce: "given" }],
    ["unknown-option", { blank: [1] }, {}],
    ["unknown-option", {}, { apha: 0.01 }],
    ["bad-option", "nitrite", {}],
    ["bad-option", { blanks: 3 }, {}],
    ["bad-option", { spikes: 3 }, {}],
    ["bad-option", { given: { detectionLimit: 1 } }, {}],
    ["bad-level", {}, { alpha: 0.6 }],
    ["bad-replicates", {}, { replicates: 1.5 }],
    ["not-a-number", { blanks: [1, Number.NaN] }, {}],
    ["not-a-number", { spikes: [{ level: 1, value: "1" }] }, {}],
    ["not-a-number", { spikes: [undefined] }, {}],
    ["negative-concentration", { spikes: [{ level: 0, value: 1 }] }, {}],
    ["negative-concentration", { given: { source: "x" } }, {}],
    ["negative-concentration", { lowestLevel: -1 }, {}],
    ["negative-concentration", { calibration: pointsOf([-1, 0, 1], [1, 2, 3]) }, {}],
    ["bad-points", { calibration: 3 }, {}],
    ["bad-noise", { noise: { concentration: 1, height: 0, peakToPeak: 1 } }, {}],
    ["bad-count", { counting: { backgroundCounts: 1, backgroundTime: 0, grossTime: 1 } }, {}],
  ])("%s: %o %o", (code, data, options) => {
    expect(codeOf(() => limitLadder(data as never, options as never))).toBe(code);
  });

  it("a rung that does not exist, naming the nearest", () => {
    expect(codeOf(() => ladder.rung("mdl"))).toBe("unknown-limit");
    expect(() => ladder.rung("curie")).toThrow(/did you mean "currie"/);
    expect(codeOf(() => pooledStandardDeviation([]))).toBe("bad-spread");
    expect(codeOf(() => pooledStandardDeviation([{ standardDeviation: -1, dof: 2 }]))).toBe("bad-spread");
  });
});
