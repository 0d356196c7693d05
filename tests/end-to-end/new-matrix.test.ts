// The investigation of a new matrix: what it concludes must come from its data. The truth is known, because the simulator
// put it there; the notebook never reads it.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { kelpScenario } from "../../toolkit/simulation/kelp-scenario.js";
import type { TrueSample } from "../../toolkit/simulation/truth.js";
import { concludedFrom, type Recorded, storedConclusions } from "./notebook-beside.js";

/** Runs on other data wait for the full size (`npm run score`). */
const inFull = it.runIf(process.env.IONBOOK_SIZE === "full");

const NAME = "exploring-a-new-matrix";
const DATA = "kelp-extracts";
/** Cells that the answer and the records rest on. */
const CONCLUDING = new Set([
  "evaluation",
  "extract-chemistry",
  "balances",
  "fitness",
  "answer",
  "counts",
  "dilution-table",
  "dilution-words",
  "check-table",
  "limits-table",
  "ways-table",
  "records",
]);

type Records = ReadonlyMap<string, Recorded>;
const number = (records: Records, name: string) => Number(records.get(name)?.value);
const u = (records: Records, name: string) => Number(records.get(name)?.u);

/** The main extract as it truly is, in the stored data. */
function trueExtract(): TrueSample {
  const path = fileURLToPath(new URL(`../../datasets/${DATA}/truth.json`, import.meta.url));
  const { samples } = JSON.parse(readFileSync(path, "utf8")) as { readonly samples: readonly TrueSample[] };
  const found = samples.find(({ sample }) => sample === "1 h");
  if (!found) throw new Error("the truth holds no extract of an hour");
  return found;
}

async function concluded(options: Parameters<typeof kelpScenario>[0]) {
  const conclusions = await concludedFrom(NAME, DATA, kelpScenario(options), ({ id }) => CONCLUDING.has(id));
  // Printed, because a person should read what the notebook says about data that it was not written for.
  console.log(`${JSON.stringify(options)}: ${conclusions.answer}`);
  return conclusions;
}

describe("the investigation of a new matrix", () => {
  it("leaves the charges open where polymers carry charge that no column shows", () => {
    const { answer, records } = storedConclusions(NAME);
    expect(records.get("charges close")?.value).toBe(false);
    expect(answer).toMatch(/the charges stay open/);
    const { polyanions = 0 } = trueExtract();
    // What is left without a peak: polymers, and the little iodide and hydrogencarbonate that the method does not see.
    const [least, most] = ["at least", "at most"].map((end) => `without any peak, ${end}`);
    expect(number(records, least) - 2 * u(records, least)).toBeLessThan(polyanions);
    expect(number(records, most) + 2 * u(records, most)).toBeGreaterThan(polyanions);
    expect(number(records, least)).toBeGreaterThan(2 * u(records, least));
  });

  it("counts the anions without a name between two ends that hold the truth, and names none", () => {
    const { answer, records } = storedConclusions(NAME);
    const { unknowns } = trueExtract();
    const truth = unknowns.reduce((sum, each) => sum + each.microequivalentsPerLiter / 1000, 0);
    expect(number(records, "charge of the unnamed peaks, at least")).toBeLessThan(truth);
    expect(number(records, "charge of the unnamed peaks, at most")).toBeGreaterThan(truth);
    for (const { ion } of unknowns) expect(answer).not.toContain(ion);
  });

  it("gives the ions that are sure, recovered and extracted, and no nitrite or ammonium beside a giant", () => {
    const { records } = storedConclusions(NAME);
    const contents = trueExtract().concentrations;
    expect(records.get("fit as contents of the kelp")?.value).toMatch(/chloride.*bromide.*sodium/);
    expect(records.get("not fit")?.value).toBe("nitrite, ammonium");
    for (const ion of ["chloride", "potassium", "bromide", "ammonium"]) {
      const name = `${ion}, main extract`;
      expect(Math.abs(number(records, name) - contents[ion]) / u(records, name), ion).toBeLessThan(3);
    }
    expect(contents.nitrite).toBeLessThan(number(records, "nitrite that would be seen, mg/kg"));
  });

  inFull(
    "closes the charges where no polymer carries any",
    async () => {
      const { answer, records } = await concluded({ polyanions: 0 });
      expect(records.get("charges close")?.value).toBe(true);
      expect(answer).toMatch(/The charges close once the anions without a name are counted/);
    },
    120_000,
  );

  inFull(
    "finds no peak without a name where there is no organic acid",
    async () => {
      const { answer, records } = await concluded({ organicAnions: 0 });
      expect(records.get("unnamed peaks")?.value).toBe(0);
      expect(records.get("charges close")?.value).toBe(false);
      expect(answer).toMatch(/No peak is without a name/);
    },
    120_000,
  );
});
