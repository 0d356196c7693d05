import { describe, expect, test } from "vitest";
import { DISPLAY } from "../../toolkit/display.js";
import { isIonbookError } from "../../toolkit/errors.js";
import { prose } from "../../toolkit/show/writing/prose.js";
import { shown } from "../../toolkit/show/writing/shown.js";
import { table } from "../../toolkit/show/writing/table.js";
import { exactly, measured } from "../../toolkit/uncertainty/measured.js";

const rise = measured(24.123, "mg/L", { u: 0.5 });

function codeOf(act: () => unknown): string {
  try {
    act();
  } catch (error) {
    return isIonbookError(error) ? error.code : String(error);
  }
  return "nothing thrown";
}

describe("prose", () => {
  test("writes a measured value with its expanded uncertainty, both rounded by it (GUM 7.2.6)", () => {
    // u = 0.5, k = 1.96: U = 0.98, two digits; the value ends at the same place.
    expect(prose`rose by ${rise}.`.markdown).toBe("rose by 24.12\u00a0±\u00a00.98\u202fmg/L.");
  });

  test("leaves out what does not apply and joins lists as one speaks", () => {
    expect(prose`a${false}b${undefined}c ${["x", "y", "z"]}`.markdown).toBe("abc x, y and z");
  });

  test("takes other prose as it is and texts literally", () => {
    expect(prose`${prose`**yes**`}, ${"well_3*"}`.markdown).toBe("**yes**, well\\_3\\*");
    expect(String(prose`${prose`**yes**`}, ${"well_3*"}`)).toBe("yes, well_3*");
  });

  test("refuses a bare number with the place and the way to write it", () => {
    expect(codeOf(() => prose`holds ${0.25}`)).toBe("bare-number");
    expect(() => prose`the ditch holds ${0.25}`).toThrow(
      /behind "the ditch holds".*shown\(0.25, "mg\/L", 3\)/,
    );
    expect(prose`${3} of ${-2}`.markdown).toBe("3 of \u22122");
    expect(codeOf(() => prose`x ${{} as never}`)).toBe("nothing-to-say");
  });

  test("lines indented with the code stay one paragraph of text", () => {
    expect(
      prose`one
        two`.markdown,
    ).toBe("one\ntwo");
  });
});

describe("shown", () => {
  test("rounds to significant digits and keeps the unit", () => {
    expect(shown(0.03124, "mg/L", 2)).toBe("0.031\u202fmg/L");
    expect(shown(-5, "%", 2)).toBe("\u22125.0\u202f%");
    expect(codeOf(() => shown(Number.NaN, "mg/L"))).toBe("not-a-number");
    expect(codeOf(() => shown(1, "mg/L", 0))).toBe("bad-digits");
  });
});

describe("table", () => {
  const small = table(
    [
      { ion: "chloride", effect: rise, visits: 6 },
      { ion: "<b>sodium</b>", effect: exactly(3, "mg/L"), visits: 6 },
    ],
    { caption: "what changed" },
  );

  test("puts the common unit into the heading and the uncertainty beside the value", () => {
    const bundle = small[DISPLAY]();
    expect(bundle["text/html"]).toContain("effect <small>/ mg/L</small>");
    expect(bundle["text/html"]).toContain("&lt;b&gt;sodium&lt;/b&gt;");
    expect(bundle["text/html"]).not.toContain("<b>sodium");
  });

  test("is legible as text", () => {
    expect(String(small)).toBe(
      [
        "what changed",
        "ion            effect        visits",
        "chloride       24.12 ± 0.98  6",
        "<b>sodium</b>  3.000         6",
      ].join("\n"),
    );
  });

  test("refuses no rows and bare numbers", () => {
    expect(codeOf(() => table([]))).toBe("empty-table");
    expect(codeOf(() => table([{ a: 0.5 }]))).toBe("bare-number");
  });
});
