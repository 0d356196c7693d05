import { describe, expect, it } from "vitest";
import { blankWatchChecks } from "../../toolkit/batch/quantify/blank-watch-checks.js";
import { flagByChecks } from "../../toolkit/batch/quantify/flag-by-checks.js";
import { ionLimits } from "../../toolkit/batch/quantify/ion-limits.js";
import { type LimitOptions, limitOptions } from "../../toolkit/batch/quantify/limit-options.js";
import type { SampleResult } from "../../toolkit/batch/types.js";
import { exactly } from "../../toolkit/uncertainty/measured.js";
import { codeOf } from "../calibration/published.js";
import { nitrite } from "../limits/nitrite.js";
import { demoResults } from "./demo-results.js";
import { batches, curve, fitted, ions, repeatability } from "./nitrite-method.js";
import { channelOf, peak, run, solution } from "./quantify-objects.js";

const earlier = (nitrite.blanks ?? []) as readonly number[];

const injected = (kind: "blank" | "fortified blank", content: number) =>
  run({ kind, solution: kind === "blank" ? "" : "S" }, [
    peak({ time: 5, area: curve.respond(content), ion: 0, uNoise: 0.0005 }),
  ]);
const channelWith = (blanks: readonly number[], spikes: readonly number[] = []) =>
  channelOf(
    ions,
    [
      ...blanks.map((content) => injected("blank", content)),
      ...spikes.map((content) => injected("fortified blank", content)),
    ],
    [solution("S", "nitrite", 0.02)],
  );
const evaluated = (options: LimitOptions, channel: ReturnType<typeof channelWith>) => {
  const limits = [ionLimits(channel, 0, fitted, repeatability, limitOptions(batches, options)("nitrite"))];
  return { watch: limits[0].ladder.watch, checks: blankWatchChecks(channel, limits) };
};
const row = (status: SampleResult["status"]): SampleResult => ({
  sample: "well",
  ion: "nitrite",
  channel: "anion",
  value: exactly(0.001, "mg/L"),
  unit: "mg/L",
  status,
  detectionLimit: 0.004,
  quantificationLimit: 0.01,
  dilution: 1,
  injection: "1",
  flags: [],
});
const FLAG = "blanks-contradict-limits";

describe("blanks of a batch against limits that rest on earlier blanks", () => {
  const from = (blanks: readonly number[]): LimitOptions => ({ ions: { nitrite: { blanks } } });

  it("agree: every test stands in the checks as passed, and no result is flagged", () => {
    const { watch, checks } = evaluated(from(earlier), channelWith(earlier.slice(2, 7)));
    expect(watch?.contradicted).toBe(false);
    expect(checks.map(({ check, passed }) => [check, passed])).toEqual([
      ["blanks against limits, scatter", true],
      ["blanks against limits, level", true],
      ["blanks against limits, trend", true],
      ["blanks against limits, share above", true],
    ]);
    expect(flagByChecks([row("not detected")], checks)[0].flags).toEqual([]);
  });

  it("contradict: failed checks say by what, and results judged near the limits are flagged", () => {
    const { watch, checks } = evaluated(from(earlier), channelWith([0.0062, 0.0071, 0.0055, 0.0068]));
    expect(watch?.warnings.map(({ name }) => name)).toContain("blanks-level-shifted");
    const level = checks.find(({ check }) => check.endsWith("level"));
    expect(level?.passed).toBe(false);
    expect(level?.limit).toMatch(/^\|t\| ≤ \d/);
    expect(level?.touches.join()).toContain("higher than those the limits rest on");
    const flags = (status: SampleResult["status"]) => flagByChecks([row(status)], checks)[0].flags;
    expect(flags("not detected")).toEqual([FLAG]);
    expect(flags("below quantification")).toEqual([FLAG]);
    expect(flags("quantified")).toEqual([]);
  });

  it("low standards are held against earlier ones of their level", () => {
    const spikes = nitrite.spikes ?? [];
    const options: LimitOptions = { ions: { nitrite: { blanks: earlier, spikes } } };
    const { watch } = evaluated(options, channelWith(earlier.slice(2, 7), [0.0301, 0.0311, 0.0297]));
    expect(watch?.warnings.map(({ name }) => name)).toEqual(["low-standards-level-shifted"]);
  });

  it("the false alarm is shared by the ions of the channel, and can be set", () => {
    const few = evaluated(from(earlier), channelWith(earlier.slice(2, 7))).watch?.alarm;
    expect(few).toBe(0.05);
    expect(evaluated({ ...from(earlier), alarm: 0.01 }, channelWith(earlier.slice(2, 7))).watch?.alarm).toBe(
      0.01,
    );
    expect(codeOf(() => evaluated({ alarm: 2 }, channelWith(earlier)))).toBe("bad-level");
  });
});

describe("limits that rest on something else", () => {
  it("a stated limit that the blanks lie above is contradicted", () => {
    const given = { detectionLimit: 0.002, criticalValue: 0.001, source: "permit" };
    const { watch, checks } = evaluated(
      { ions: { nitrite: { given } } },
      channelWith([0.004, 0.0035, 0.0041, 0.0037, 0.0038]),
    );
    expect(watch?.warnings.map(({ name }) => name)).toEqual(["blanks-above-critical-value"]);
    expect(checks.some(({ check, passed }) => check.endsWith("share above") && !passed)).toBe(true);
  });

  it("limits from the blanks themselves are contradicted by their trend alone, which nobody hears of while there is none", () => {
    const drift = evaluated({}, channelWith([0.001, 0.0021, 0.0029, 0.0041, 0.005, 0.0061]));
    expect(drift.watch?.warnings.map(({ name }) => name)).toEqual(["blanks-drift"]);
    expect(drift.checks).toHaveLength(1);
    expect(evaluated({}, channelWith(earlier)).checks).toEqual([]);
  });
});

describe("the blanks of the demonstration [invented]", () => {
  it("contradict none of their limits, and each ion can be asked", async () => {
    const { calibrations, checks } = await demoResults();
    for (const { ion, blankWatch } of calibrations) {
      expect(
        blankWatch?.tests.map(({ name }) => name),
        ion,
      ).toEqual(["trend"]);
      expect(blankWatch?.contradicted, ion).toBe(false);
    }
    expect(checks.some(({ check }) => check.startsWith("blanks against limits"))).toBe(false);
  }, 60_000);
});
