import { describe, expect, it } from "vitest";
import { pipette, pistonPipette, volumetricFlask } from "../../toolkit/standards/glassware.js";
import { prepareStandards } from "../../toolkit/standards/prepare-standards.js";
import type { Stock } from "../../toolkit/standards/stock.js";
import { codeOf } from "../calibration/published.js";

const flask = volumetricFlask(100);
const bought = (ion: string, concentration = 1000, more: object = {}): Stock => ({
  name: ion,
  contents: [{ ion, concentration, uncertainty: { expanded: concentration / 250, k: 2 } }],
  ...more,
});
describe("recipes that cannot be", () => {
  const stock = bought("chloride");
  const one =
    (aliquot: object, more: object = {}) =>
    () =>
      prepareStandards({
        stocks: [stock],
        solutions: [
          { name: "a", flask, aliquots: [{ from: "chloride", pipette: pipette(1), ...aliquot }], ...more },
        ],
      });
  it.each<readonly [string, string, () => unknown]>([
    ["no recipe", "bad-recipe", () => prepareStandards(undefined as never)],
    [
      "an unknown option",
      "unknown-option",
      () => prepareStandards({ stocks: [stock], solutions: [] }, { ion: "x" } as never),
    ],
    [
      "a wrong ion list",
      "bad-option",
      () => prepareStandards({ stocks: [stock], solutions: [] }, { ions: "x" as never }),
    ],
    [
      "an ion no stock holds",
      "ion-not-there",
      () => prepareStandards({ stocks: [stock], solutions: [] }, { ions: ["K+"] }),
    ],
    [
      "a stock of nothing",
      "bad-stock",
      () => prepareStandards({ stocks: [{ name: "x" } as never], solutions: [] }),
    ],
    [
      "an unknown salt",
      "unknown-salt",
      () => prepareStandards({ stocks: [{ ...bought("chloride"), salt: "NaCl2" }], solutions: [] }),
    ],
    [
      "a salt without the ion",
      "salt-without-ion",
      () => prepareStandards({ stocks: [{ ...bought("chloride"), salt: "KNO3" }], solutions: [] }),
    ],
    ["an unknown parent", "unknown-parent", one({ from: "bromide" })],
    ["half a one-mark pipette", "bad-aliquot", one({ volume: 0.5 })],
    ["a volume below the trusted", "bad-aliquot", one({ pipette: pistonPipette(1), volume: 0.05 })],
    ["a broken count", "bad-aliquot", one({ times: 1.5 })],
    ["NaN millilitres", "bad-aliquot", one({ volume: Number.NaN })],
    ["no pipette", "bad-aliquot", one({ pipette: undefined })],
    ["a flask that is none", "bad-flask", one({}, { flask: pipette(10) })],
    ["more than the flask holds", "flask-too-small", one({ pipette: pipette(25), times: 5 })],
    ["a flask without tolerance", "no-tolerance", () => volumetricFlask(77)],
    ["a negative flask", "bad-volume", () => volumetricFlask(-1)],
    ["a misspelt option of a flask", "unknown-option", () => volumetricFlask(100, { tolerence: 1 } as never)],
    [
      "two flasks of one name",
      "same-name",
      () =>
        prepareStandards({
          stocks: [stock],
          solutions: [1, 2].map(() => ({
            name: "a",
            flask,
            aliquots: [{ from: "chloride", pipette: pipette(1) }],
          })),
        }),
    ],
    [
      "more taken than there is",
      "not-enough",
      () =>
        prepareStandards({
          stocks: [stock],
          solutions: [
            { name: "a", flask, aliquots: [{ from: "chloride", pipette: pipette(10) }] },
            ...[1, 2, 3].map((i) => ({
              name: `b${i}`,
              flask: volumetricFlask(250),
              aliquots: [{ from: "a", pipette: pipette(10), times: 4 }],
            })),
          ],
        }),
    ],
    [
      "a negative mass",
      "bad-mass",
      () =>
        prepareStandards({
          stocks: [{ name: "x", salt: "NaCl", mass: -1, massUncertainty: { u: 0.1 }, flask }],
          solutions: [],
        }),
    ],
    [
      "a purity in percent",
      "bad-purity",
      () =>
        prepareStandards({
          stocks: [{ name: "x", salt: "NaCl", mass: 1, purity: 99.5, massUncertainty: { u: 0.1 }, flask }],
          solutions: [],
        }),
    ],
    [
      "a NaN concentration",
      "bad-concentration",
      () => prepareStandards({ stocks: [bought("chloride", Number.NaN)], solutions: [] }),
    ],
    [
      "a question for an unknown solution",
      "unknown-solution",
      () => prepareStandards({ stocks: [stock], solutions: [] }).concentration("b", "Cl-"),
    ],
  ])("%s", (_, code, call) => {
    expect(codeOf(call)).toBe(code);
  });
});
