import { describe, expect, it } from "vitest";
import { makeResults } from "../../toolkit/batch/quantify/results.js";
import type { Results } from "../../toolkit/batch/types.js";
import { isIonbookError } from "../../toolkit/errors.js";
import { inventedResults } from "../show/invented-results.js";

/** The invented results with wells visited twice: "well 1" and "well 2" become two visits of one place. */
function withVisits(): Results {
  const plain = inventedResults({ points: 300 });
  const names: Readonly<Record<string, string>> = { "well 1": "well 9 (19 Feb)", "well 2": "well 9 (2 Mar)" };
  const rename = (sample: string): string => names[sample] ?? sample;
  return makeResults({
    ...plain,
    samples: plain.samples.map((row) => ({ ...row, sample: rename(row.sample) })),
    balances: plain.balances.map((row) => ({ ...row, sample: rename(row.sample) })),
    batches: plain.batches.map((batch) => ({
      ...batch,
      samples: batch.samples.map((row) => ({
        ...row,
        sample: rename(row.sample),
        collectedAt: row.sample === "well 1" ? "2031-03-02T09:00" : "2031-02-19T09:00",
        other: { period: row.sample === "well 1" ? "after" : "before" },
      })),
    })),
  });
}

const found = withVisits();

function refusal(act: () => unknown): { code: string; message: string } {
  try {
    act();
  } catch (error) {
    if (isIonbookError(error)) return { code: error.code, message: error.message };
    throw error;
  }
  throw new Error("nothing was refused");
}

describe("a result is found by any unambiguous spelling", () => {
  const chloride = found.samples.find((row) => row.sample === "spring" && row.ion === "chloride");

  it.each(["chloride", "Chloride", "Cl-", "Cl⁻", "CHLORIDE "])("of the ion: %s", (ion) => {
    expect(found.result("spring", ion)).toBe(chloride);
  });

  it.each(["spring", "Spring", " SPRING", "spring."])("of the sample: %s", (sample) => {
    expect(found.result(sample, "chloride")).toBe(chloride);
  });

  it.each(["well 9 (19 Feb)", "Well 9 19 feb", "well-9, 19.Feb"])("of a visit: %s", (sample) => {
    expect(found.result(sample, "sodium").sample).toBe("well 9 (19 Feb)");
    expect(found.balance(sample).sample).toBe("well 9 (19 Feb)");
  });

  it.each(["A018", "a018", "A18", "a-18"])("of the injection: %s", (id) => {
    expect(found.trace(id).injection.id).toBe("A018");
  });
});

describe("a name that means several things or none is answered with advice", () => {
  it("lists the visits of a place and names the way to all of them", () => {
    expect(refusal(() => found.why("well 9", "chloride"))).toEqual({
      code: "several-samples",
      message:
        '"well 9" is the name of 2 samples, one a visit: "well 9 (19 Feb)" and "well 9 (2 Mar)". Give one of them, or take series("well 9", "chloride").',
    });
  });

  it.each([
    ["sample", () => found.result("sprng", "chloride"), "unknown-sample", 'Is "spring" meant?'],
    ["ion", () => found.result("spring", "chlorid"), "unknown-ion", 'Is "chloride" meant?'],
    ["injection", () => found.trace("A0181"), "unknown-injection", '"A018"'],
    ["place", () => found.series("wel 9", "chloride"), "unknown-place", '"well 9"'],
    ["ion of no method", () => found.result("spring", "citrate"), "not-measured", "neither method"],
    ["ion without curve", () => found.calibration("barium"), "not-calibrated", "Calibrated are"],
    ["one visit as a place", () => found.series("well 9 (19 Feb)", "Cl-"), "unknown-place", 'give "well 9"'],
    ["sample as injection", () => found.trace("spring"), "unknown-injection", "was injected as"],
    ["peak without name", () => found.result("spring", "unknown-1"), "unknown-ion", ".unknowns"],
    ["swapped arguments", () => found.why("chloride", "spring"), "unknown-sample", "the sample comes first"],
    ["a number", () => found.trace(18 as never), "not-a-name", 'write "A001"'],
    ["nothing", () => found.calibration(undefined as never), "not-a-name", '"chloride" or "Cl-"'],
  ] as const)("%s", (_, act, code, words) => {
    const { code: given, message } = refusal(act);
    expect(given).toBe(code);
    expect(message).toContain(words);
  });

  it("a balance asked of one channel says what is missing", () => {
    const alone = inventedResults({ points: 300, channels: ["anion"] });
    const { code, message } = refusal(() => alone.balance("spring"));
    expect(code).toBe("no-balance");
    expect(message).toContain("quantify([anions, cations])");
  });
});

describe("a series", () => {
  it("holds the visits of its place in the order of collection, with period and limits", () => {
    const series = found.series("Well 9", "Cl-");
    expect(series.place).toBe("well 9");
    expect(series.ion).toBe("chloride");
    expect(series.visits.map((visit) => [visit.sample, visit.period])).toEqual([
      ["well 9 (2 Mar)", "before"],
      ["well 9 (19 Feb)", "after"],
    ]);
    expect(series.visits[0].value).toBe(found.result("well 9 (2 Mar)", "chloride").value);
  });

  it("of a place in two units is refused", () => {
    const mixed = makeResults({
      ...found,
      samples: found.samples.map((row) =>
        row.sample === "well 9 (2 Mar)" ? { ...row, unit: "mg/kg" } : row,
      ),
    });
    expect(refusal(() => mixed.series("well 9", "chloride")).code).toBe("unit-mismatch");
  });
});

describe("the unidentified peaks", () => {
  it("are an array that shows itself and hides with what", () => {
    expect(Array.isArray(found.unknowns)).toBe(true);
    expect(found.unknowns.kind).toBe("unknowns");
    expect(Object.keys(found.unknowns)).toEqual(found.unknowns.map((_, index) => String(index)));
    expect(String(found.unknowns)).toContain("unknown-1");
    expect(String(makeResults({ ...found, unknowns: [] }).unknowns)).toBe("Every peak has a name.");
  });
});
