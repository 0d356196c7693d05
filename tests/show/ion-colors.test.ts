import { describe, expect, it } from "vitest";
import { COLORS, type ColorName, ionColor } from "../../toolkit/show/color/ion-colors.js";

/**
 * Relative luminance and contrast ratio of two colours.
 * Source: W3C, Web Content Accessibility Guidelines 2.1, definitions of "relative luminance" and "contrast ratio"
 * (from memory of the published recommendation).
 */
function contrast(first: string, second: string): number {
  const luminance = (hex: string): number => {
    const [r, g, b] = [1, 3, 5].map((at) => {
      const part = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
      return part <= 0.03928 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const [light, dark] = [luminance(first), luminance(second)].sort((a, b) => b - a);
  return (light + 0.05) / (dark + 0.05);
}

describe("colours of ions", () => {
  it("are the published colour-blind-safe set", () => {
    // Okabe and Ito, Color Universal Design (2008), RGB values of the set, from memory.
    const published: Record<string, readonly [number, number, number]> = {
      orange: [230, 159, 0],
      sky: [86, 180, 233],
      green: [0, 158, 115],
      yellow: [240, 228, 66],
      blue: [0, 114, 178],
      vermilion: [213, 94, 0],
      purple: [204, 121, 167],
    };
    for (const [name, rgb] of Object.entries(published)) {
      const hex = rgb.map((part) => part.toString(16).padStart(2, "0")).join("");
      expect(COLORS[name as ColorName].fill.toLowerCase()).toBe(`#${hex}`);
    }
  });

  it("are readable as text on both grounds (contrast at least 4.5, WCAG 2.1 level AA)", () => {
    for (const tones of Object.values(COLORS)) {
      expect(contrast(tones.onLight, "#fdfcf8")).toBeGreaterThan(4.5);
      expect(contrast(tones.onDark, "#14181d")).toBeGreaterThan(4.5);
    }
  });

  it("belong to the ion, whatever else is drawn, and grey is kept for what has no name", () => {
    expect(ionColor("chloride")).toBe("blue");
    expect(ionColor("unknown-12")).toBe("unknown");
    expect(ionColor("system-1")).toBe("system");
    expect(ionColor("gluconate")).toBe(ionColor("gluconate"));
    for (const name of ["gluconate", "methylammonium", "constructor", "toString"]) {
      expect(["unknown", "system", "slate"]).not.toContain(ionColor(name));
    }
  });

  it("differ between neighbours on the usual columns and in a bar of the balance", () => {
    const rows = [
      ["fluoride", "chloride", "nitrite", "bromide", "nitrate", "sulfate", "phosphate"],
      ["lithium", "sodium", "ammonium", "potassium", "magnesium", "calcium", "strontium", "barium"],
      ["hydrogencarbonate", "chloride", "sulfate", "nitrate"],
      ["calcium", "magnesium", "sodium", "potassium", "ammonium"],
    ];
    for (const row of rows) {
      for (let index = 1; index < row.length; index += 1) {
        expect(ionColor(row[index]), row[index]).not.toBe(ionColor(row[index - 1]));
      }
    }
  });

  it("differ between all ions that carry the charge of a water, so that calcium is not taken for sulfate", () => {
    const carriers = [
      ...["calcium", "magnesium", "sodium", "potassium"],
      ...["hydrogencarbonate", "chloride", "sulfate", "nitrate"],
    ];
    expect(new Set(carriers.map(ionColor)).size).toBe(carriers.length);
  });
});
