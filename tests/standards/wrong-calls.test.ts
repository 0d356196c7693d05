import { describe, expect, it } from "vitest";
import { studyStandardAddition } from "../../toolkit/calibration/addition/addition-study.js";
import { bracketSamples } from "../../toolkit/calibration/sequence/bracketing.js";
import { internalStandard } from "../../toolkit/calibration/sequence/internal-standard.js";
import { responseDrift } from "../../toolkit/calibration/sequence/response-drift.js";
import { isIonbookError } from "../../toolkit/errors.js";
import { laboratoryBalance } from "../../toolkit/standards/balance.js";
import { pipette, volumetricFlask } from "../../toolkit/standards/glassware.js";
import { planStandards } from "../../toolkit/standards/plan-standards.js";
import { prepareStandards } from "../../toolkit/standards/prepare-standards.js";

const WRONG: readonly unknown[] = [undefined, null, "x", Number.NaN, -1, {}, [], () => 1];

/** Every copy of a call's data in which one field, at any depth, holds something wrong. */
function* spoiled(value: unknown, path = ""): Generator<readonly [path: string, value: unknown]> {
  for (const wrong of WRONG) yield [`${path} = ${String(JSON.stringify(wrong) ?? wrong)}`, wrong];
  if (typeof value !== "object" || value === null) return;
  for (const [name, inner] of Object.entries(value)) {
    for (const [where, changed] of spoiled(inner, `${path}.${name}`)) {
      const copy: unknown = Array.isArray(value) ? [...value] : { ...value };
      (copy as Record<string, unknown>)[name] = changed;
      yield [where, copy];
    }
  }
}

const certified = {
  name: "sulfate",
  salt: "K2SO4",
  contents: [{ ion: "sulfate", concentration: 1000, unit: "mg/L", uncertainty: { expanded: 4, k: 2 } }],
  matrix: { acid: "nitric acid", molarity: 0.01 },
};
const weighed = {
  name: "chloride",
  salt: { formula: "NaCl", ions: { sodium: 1, chloride: 1 } },
  mass: 1648.5,
  massUncertainty: { u: 0.2 },
  purity: 0.999,
  flask: volumetricFlask(1000),
  day: "Monday",
  declared: { ion: "chloride", concentration: 1000, unit: "mg/L" },
};
const level = {
  name: "level",
  flask: volumetricFlask(100),
  aliquots: [{ from: "sulfate", pipette: pipette(10), volume: 10, times: 1 }],
  day: "Monday",
  declared: { sulfate: 100 },
};
const density = { value: 1, uncertainty: { u: 0.001 } };
const dense = { name: "sulfate", contents: certified.contents, density };
const bottle = {
  name: "level",
  balance: laboratoryBalance(220),
  mass: 100,
  density,
  aliquots: [{ from: "sulfate", mass: 10, balance: laboratoryBalance(50) }],
};
const reading = { position: 1, response: 1, concentration: 5, u: 0.01, label: "a" };

const CALLS: readonly (readonly [string, (data: never) => unknown, unknown])[] = [
  ["prepareStandards", prepareStandards, { stocks: [certified, weighed], solutions: [level] }],
  ["prepareStandards by mass", prepareStandards, { stocks: [dense], solutions: [bottle] }],
  ["planStandards", planStandards, { stocks: [weighed], levels: { chloride: [1, 2, 5] } }],
  ["studyStandardAddition", studyStandardAddition, [0, 1, 2].map((x) => ({ added: x, response: 1 + x }))],
  ["responseDrift", responseDrift, [1, 2, 3].map((position) => ({ ...reading, position }))],
  [
    "bracketSamples",
    bracketSamples,
    { checks: [reading, { ...reading, position: 3 }], samples: [{ ...reading, position: 2 }] },
  ],
  [
    "internalStandard",
    internalStandard,
    {
      standards: [1, 2, 3].map((concentration) => ({
        concentration,
        response: concentration,
        internal: 1,
        label: "s",
      })),
      samples: [{ response: 1, internal: 1 }],
    },
  ],
];

describe("whatever is wrong in a call", () => {
  it.each(CALLS)("%s answers with a result or an error that says how to mend it", (_, call, data) => {
    const bare: string[] = [];
    let refused = 0;
    for (const [where, wrong] of spoiled(data)) {
      try {
        call(wrong as never);
      } catch (error) {
        if (isIonbookError(error)) refused++;
        else bare.push(`${where}: ${String(error)}`);
      }
    }
    expect(bare).toEqual([]);
    expect(refused).toBeGreaterThan(10);
  });
});
