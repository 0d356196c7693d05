import { describe, expect, it } from "vitest";
import { measuredText } from "../../toolkit/show/text/measured-text.js";
import {
  fixed,
  limitText,
  quantity,
  roundedPair,
  signed,
  significant,
  trimmed,
} from "../../toolkit/show/text/numbers.js";
import { counted, listed } from "../../toolkit/show/text/words.js";
import { measured } from "../../toolkit/uncertainty/measured.js";

const THIN = "\u202f";

describe("a value with its expanded uncertainty", () => {
  it("is written as the GUM writes its own example", () => {
    // JCGM 100:2008, 7.2.4: m_S = (100.02147 ± 0.00079) g (from memory of the freely available document).
    const pair = roundedPair(100.02147, 0.00079);
    expect([pair.value, pair.uncertainty]).toEqual(["100.02147", "0.00079"]);
  });

  it("ends at the second significant digit of the uncertainty", () => {
    const cases: readonly (readonly [number, number, string, string])[] = [
      [12.4321, 0.3149, "12.43", "0.31"],
      [102.94, 1.649, "102.9", "1.6"],
      [1276.4, 21.3, "1276", "21"],
      [8123.4, 149.6, "8120", "150"],
      [12345.6, 1234, "12\u202f300", "1200"],
      [0.0996, 0.00996, "0.100", "0.010"],
      [-0.00043, 0.00199, "\u22120.0004", "0.0020"],
    ];
    for (const [value, expanded, text, uncertainty] of cases) {
      const pair = roundedPair(value, expanded);
      expect([pair.value, pair.uncertainty]).toEqual([text, uncertainty]);
    }
  });

  it("carries the 95 % interval of its degrees of freedom", () => {
    // Student's t for 95 % and 4 degrees of freedom is 2.776 (GUM, table G.2, from memory): 2.776 · 0.10 = 0.28.
    expect(measuredText(measured(5, "mg/L", { u: 0.1 }, { dof: 4 }))).toBe(
      `5.00\u00a0±\u00a00.28${THIN}mg/L`,
    );
    expect(measuredText(measured(5, "mg/L", { u: 0 }))).toBe(`5.000${THIN}mg/L`);
  });
});

describe("numbers for readers", () => {
  it("have a real minus sign and never a negative zero", () => {
    expect(fixed(-1.25, 1)).toBe("\u22121.3");
    expect(fixed(-0.001, 1)).toBe("0.0");
    expect(signed(0.04, 1)).toBe("0.0");
    expect(signed(0.06, 1)).toBe("+0.1");
    expect(signed(-2, 0)).toBe("\u22122");
  });

  it("are grouped by thin spaces from five figures on", () => {
    expect(fixed(1234.5, 1)).toBe("1234.5");
    expect(fixed(1234567.25, 2)).toBe(`1${THIN}234${THIN}567.25`);
  });

  it("keep significant digits and take powers of ten where zeros would pile up", () => {
    expect(significant(0.012345, 3)).toBe("0.0123");
    expect(significant(98765, 2)).toBe(`99${THIN}000`);
    expect(significant(9.99e-5, 2)).toBe(`1.0${THIN}×${THIN}10⁻⁴`);
    expect(significant(-3.2e8, 2)).toBe(`\u22123.2${THIN}×${THIN}10⁸`);
    expect(trimmed(0.05, 3)).toBe("0.05");
    expect(trimmed(100, 3)).toBe("100");
    expect(trimmed(20.5, 4)).toBe("20.5");
  });

  it("stand before their unit with a thin space that does not break", () => {
    expect(quantity("12.4", "mg/L")).toBe("12.4\u202fmg/L");
    expect(quantity("0.5", "1")).toBe("0.5");
  });
});

describe("a limit", () => {
  it("is rounded up to two digits, so that it never promises too much", () => {
    // Handbook DETECTION §6, rule 10 and its example: x_D 0.0042, ×10 "< 0.042"; 0.00411 must not become 0.0041.
    expect(limitText(0.0042)).toBe("0.0042");
    expect(limitText(0.00411)).toBe("0.0042");
    expect(limitText(0.042)).toBe("0.042");
    expect(limitText(0.1)).toBe("0.10");
    expect(limitText(99.2)).toBe("100");
    expect(limitText(12.01)).toBe("13");
  });
});

describe("lists in sentences", () => {
  it("read like speech and count what is too much", () => {
    expect(listed(["a"])).toBe("a");
    expect(listed(["a", "b", "c"])).toBe("a, b and c");
    expect(listed(["a", "b", "c", "d", "e"], 2)).toBe("a, b and 3 more");
    expect(listed([])).toBe("");
    expect([counted(0, "peak"), counted(1, "peak"), counted(2, "analysis", "analyses")]).toEqual([
      "no peaks",
      "1 peak",
      "2 analyses",
    ]);
  });
});
