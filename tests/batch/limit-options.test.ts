import { describe, expect, it } from "vitest";
import { ionLimits } from "../../toolkit/batch/quantify/ion-limits.js";
import { type LimitOptions, limitOptions } from "../../toolkit/batch/quantify/limit-options.js";
import { sampleResults } from "../../toolkit/batch/quantify/sample-results.js";
import { codeOf } from "../calibration/published.js";
import { nitrite } from "../limits/nitrite.js";
import { batches, curve, fitted, ions, repeatability } from "./nitrite-method.js";
import { channelOf, peak, run, sample, solution } from "./quantify-objects.js";

const injected = (kind: "blank" | "sample" | "fortified blank", content: number, more: object = {}) =>
  run({ kind, solution: kind === "blank" ? "" : "water", ...more }, [
    peak({ time: 5, area: curve.respond(content), ion: 0, uNoise: 0.0005 }),
  ]);
const numeric = (nitrite.blanks ?? []).filter((blank): blank is number => blank !== null);
const blanks = numeric.map((content) => injected("blank", content));
const spikes = (nitrite.spikes ?? []).map(({ value }, i) =>
  injected("fortified blank", value, { solution: "S", injectedAt: `2026-03-0${1 + (i % 3)}T08:00:00` }),
);
const all = channelOf(ions, [...blanks, ...spikes], [solution("S", "nitrite", 0.02)]);
const judged = (options: LimitOptions, channel = all) =>
  ionLimits(channel, 0, fitted, repeatability, limitOptions(batches, options)("nitrite"));

describe("limits in force of an evaluation", () => {
  it("are Currie's from the batch's blanks unless another definition is chosen", () => {
    const usual = judged({});
    expect(usual.ladder.inForce?.definition).toBe("currie");
    expect(usual.ladder.inForce?.criticalValue).toBeCloseTo(usual.criticalValue, 12);
    const mdl = judged({ definition: "method-detection-limit" });
    expect(mdl.criticalValue.toFixed(4)).toBe("0.0057");
    expect(mdl.definition).toContain("40 CFR 136");
    expect(judged({ ions: { "NO2-": { definition: "hubaux-vos" } } }).detectionLimit.toFixed(4)).toBe(
      "0.0025",
    );
  });

  it("know a method detection limit where seven fortified blanks near it were run, on three dates", () => {
    const { mdl, ladder } = judged({});
    expect(mdl?.toFixed(4)).toBe("0.0057");
    expect(ladder.rung("method-detection-limit").requirement).toBe("met");
    expect(judged({}, channelOf(ions, blanks)).mdl).toBeUndefined();
    const high = channelOf(ions, [...blanks, ...spikes], [solution("S", "nitrite", 0.2)]);
    expect(judged({}, high).mdl).toBeUndefined();
  });

  it("follow α, blanks from elsewhere and stated limits", () => {
    expect(judged({ alpha: 0.01 }).criticalValue).toBeGreaterThan(judged({}).criticalValue);
    const wide = judged({ ions: { nitrite: { blanks: numeric.map((blank) => 10 * blank) } } });
    expect(wide.quantificationLimit.toFixed(3)).toBe("0.109");
    const given = { detectionLimit: 0.03, criticalValue: 0.02, source: "validation 12" };
    const stated = judged({ ions: { nitrite: { given } } });
    expect(stated).toMatchObject({ criticalValue: 0.02, detectionLimit: 0.03, quantificationLimit: 0.03 });
    expect(stated.definition).toContain("validation 12");
  });

  it("come from the fitted curve below four blanks, and stand on the ladder so", () => {
    const few = judged({}, channelOf(ions, blanks.slice(0, 2)));
    expect(few.definition).toContain("ISO 11843-2");
    expect(few.ladder.inForce).toMatchObject({ definition: "given", detectionLimit: few.detectionLimit });
  });

  it("decide status and print of a sample, after dilution and with a reporting limit", () => {
    const results = (content: number, options: LimitOptions, dilution = 1) => {
      const channel = channelOf(ions, [injected("sample", content, { dilution })]);
      const withSamples = {
        ...channel,
        batch: { ...channel.batch, samples: [sample()] },
        stretch: { voidEnd: 0 },
      };
      return sampleResults(
        withSamples as unknown as typeof channel,
        [fitted],
        [judged(options)],
        repeatability,
      )[0];
    };
    const absent = results(0.001, {}, 10);
    expect(absent.status).toBe("not detected");
    expect(absent.detectionLimit).toBeCloseTo(10 * judged({}).detectionLimit, 12);
    // 0.00145 + 2·1.833·0.001087·√(1.1/0.9), tenfold and rounded up: batch blanks are stretched by √(1 − 1/n).
    expect(absent.reported?.text).toBe("< 0.059");
    expect(results(0.0045, {}).reported?.qualifier).toBe("J");
    expect(results(0.05, {}).reported?.text).toMatch(/^0\.05\d* ± 0\.00\d+$/);
    const contract: LimitOptions = { ions: { nitrite: { reportingLimit: 0.03 } } };
    const below = results(0.02, contract);
    expect(below.reported?.text).toBe("< 0.030");
    expect(below.status).toBe("quantified");
    expect(below.flags).toContain("below reporting limit");
    expect(below.value?.value).toBeCloseTo(0.02, 6);
    // A tenfold dilution lifts what can be quantified above the contract's limit.
    expect(results(0.005, contract, 10).reportingLimit).toBeCloseTo(10 * judged({}).quantificationLimit, 12);
  });

  it.each<[string, unknown]>([
    ["unknown-option", { definitions: "currie" }],
    ["unknown-limit", { definition: "curie" }],
    ["bad-option", { definition: "currie-paired" }],
    ["bad-option", { definition: "given" }],
    ["bad-option", { ions: [1] }],
    ["unknown-ion", { ions: { nitrit: {} } }],
    ["not-calibrated", { ions: { lithium: {} } }],
    ["unknown-option", { ions: { nitrite: { spike: [] } } }],
    ["unknown-limit", { ions: { nitrite: { definition: "mdl" } } }],
    ["bad-option", { ions: { nitrite: { reportingLimit: -1 } } }],
    ["limit-not-computable", { ions: { nitrite: { definition: "signal-to-noise" } } }],
    ["limit-not-computable", { ions: { nitrite: { definition: "given" } } }],
    ["bad-level", { alpha: 2 }],
  ])("%s: %j", (code, options) => {
    expect(codeOf(() => judged(options as LimitOptions))).toBe(code);
  });

  it("a refusal names the ion and the mend", () => {
    expect(() => judged({ definition: "signal-to-noise" })).toThrow(
      /limits of nitrite: .*cannot be in force.*add the data/,
    );
  });
});
