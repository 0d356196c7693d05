import fc from "fast-check";
import { afterEach, describe, expect, it } from "vitest";
import { DISPLAY } from "../../toolkit/display.js";
import { record } from "../../toolkit/notebook/record.js";
import { allowedDifference, RECORD_TYPE, recordText } from "../../toolkit/notebook/record-data.js";
import { measured } from "../../toolkit/uncertainty/measured.js";

const SHOW = Symbol.for("ionbook.display");
afterEach(() => void Reflect.deleteProperty(globalThis, SHOW));

const chloride = measured(12.4321, "mg/L", { u: 0.25 });

describe("a recorded result", () => {
  it("carries name, value, u, unit and tolerance of a measured value", () => {
    const bundle = record("chloride", chloride)[DISPLAY]();
    expect(bundle[RECORD_TYPE]).toEqual({
      name: "chloride",
      value: 12.4321,
      u: 0.25,
      unit: "mg/L",
      tolerance: 0.05 / 12.4321,
    });
    expect(bundle["text/plain"]).toBe(
      "chloride: 12.432 mg/L, u = 0.25 mg/L (recorded, may differ by 0.05 mg/L)",
    );
  });

  it("carries plain numbers, texts and yes or no, with null for what they do not have", () => {
    const data = (value: number | string | boolean) => record("x", value)[DISPLAY]()[RECORD_TYPE];
    expect(data(7)).toEqual({ name: "x", value: 7, u: null, unit: null, tolerance: 1e-9 });
    expect(data("rises")).toEqual({ name: "x", value: "rises", u: null, unit: null, tolerance: 0 });
    expect(data(false)).toEqual({ name: "x", value: false, u: null, unit: null, tolerance: 0 });
  });

  it("may differ by a fifth of u, also where the value is 0, and by what its author allows", () => {
    const wide = { noNaN: true, noDefaultInfinity: true, min: 1e-6, max: 1e6 };
    fc.assert(
      fc.property(fc.double({ ...wide, min: -1e6 }), fc.double(wide), (value, u) => {
        expect(allowedDifference(record("x", measured(value, "mg/L", { u })))).toBeCloseTo(u / 5, 8);
      }),
      { seed: 2 },
    );
    expect(allowedDifference(record("x", measured(0, "mg/L", { u: 0.5 })))).toBeCloseTo(0.1, 12);
    expect(allowedDifference(record("x", 200, { tolerance: 0.01 }))).toBeCloseTo(2, 12);
    expect(allowedDifference(record("x", 0))).toBe(0);
  });

  it("is text of one line, and its HTML hides no markup", () => {
    const found = record('<b>"rise"</b>', "a < b");
    expect(String(found)).toBe(recordText(found));
    expect(String(found)).not.toContain("\n");
    expect(found[DISPLAY]()["text/html"]).not.toMatch(/<b>|a < b/);
  });

  it("shows itself at once in a notebook, and its data are in that one output only", () => {
    const shown: unknown[][] = [];
    Reflect.set(globalThis, SHOW, (...given: unknown[]) => shown.push(given));
    const found = record("chloride", chloride);
    const again = found[DISPLAY]();
    expect(shown).toHaveLength(1);
    expect(shown[0]?.[0]).toMatchObject({ [RECORD_TYPE]: { name: "chloride" } });
    expect(again).not.toHaveProperty([RECORD_TYPE]);
    expect(again["text/plain"]).toBe(String(found));
  });
});

describe("a wrong call of record", () => {
  const unknownValue = (value: unknown) => value as number;
  it.each([
    ["no name", () => record(" ", 1), "record-without-name", "name"],
    ["a number that is none", () => record("rise", Number.NaN), "not-a-result", '"rise" is NaN'],
    ["an infinite one", () => record("rise", Number.POSITIVE_INFINITY), "not-a-result", "division by zero"],
    ["a promise", () => record("rise", unknownValue(Promise.resolve(1))), "not-a-result", "await"],
    ["a list", () => record("rise", unknownValue([1])), "not-a-result", "each of its members"],
    ["nothing", () => record("rise", unknownValue(undefined)), "not-a-result", "undefined"],
    ["a whole result", () => record("rise", unknownValue({ kind: "results" })), "not-a-result", '"results"'],
    ["a negative tolerance", () => record("rise", 1, { tolerance: -0.1 }), "bad-tolerance", "0.01 for 1 %"],
    ["a tolerance that is none", () => record("rise", 1, { tolerance: Number.NaN }), "bad-tolerance", "NaN"],
    ["a tolerance on a text", () => record("rise", "yes", { tolerance: 0.1 }), "bad-tolerance", "leave out"],
    [
      "a tolerance on yes or no",
      () => record("rise", true, { tolerance: 0.1 }),
      "bad-tolerance",
      "leave out",
    ],
  ])("with %s reads like advice", (_, call, code, words) => {
    expect(call).toThrow(expect.objectContaining({ code, message: expect.stringContaining(words) }));
  });
});
