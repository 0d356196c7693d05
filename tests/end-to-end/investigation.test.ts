// The investigations that come with the package, run on other data of the same (invented) stories: what they conclude must
// come from the data. The truth is known, because the simulator put it there.
import { describe, expect, it } from "vitest";
import { textOf } from "../../toolkit/notebook/document.js";
import { glasshouseScenario } from "../../toolkit/simulation/glasshouse-scenario.js";
import { roadSaltScenario } from "../../toolkit/simulation/road-salt-scenario.js";
import { concludedFrom, type Recorded, storedConclusions } from "./notebook-beside.js";

/** The second of two runs of the same kind waits for the full size (`npm run score`). */
const inFull = it.runIf(process.env.IONBOOK_SIZE === "full");

const NAME = "road-salt-in-wells";

/** A cell of one expression without a template text: "found", "rise.effect", "found.balance(well)". */
const SHOWS_ONLY = /^[\w.]+(?:\((?:well|"[^"]*")?(?:, "[^"]*")?\))?$/;

/** The notebook beside a batch in which chloride of well 3 truly rises by `chlorideRise`, mg/L. */
async function concluded(chlorideRise: number) {
  const conclusions = await concludedFrom(
    NAME,
    NAME,
    roadSaltScenario({ chlorideRise }),
    (cell) => !SHOWS_ONLY.test(textOf(cell.source).trim()),
  );
  // Printed, because a person should read what the notebook says about data that it was not written for.
  console.log(`true rise ${chlorideRise} mg/L: ${conclusions.answer}`);
  return conclusions;
}

describe("the investigation concludes what its data show", () => {
  // As it stands in the package, with a true rise of 24 mg/L; `ionbook verify` holds it to what it recorded.
  it("a rise of 24 mg/L: chloride rose, by about that, as a salt", () => {
    const { answer, records } = storedConclusions(NAME);
    expect(records.get("verdict on chloride in well 3")?.value).toBe("rose");
    expect(records.get("looks like road salt")?.value).toBe(true);
    expect(answer).toMatch(/Chloride came in with the thaw/);
    expectNear(records, 24);
  });

  it("no effect at all: no change shown, the smallest one that would have been found is told, no salt", async () => {
    const { answer, records } = await concluded(0);
    expect(records.get("verdict on chloride in well 3")?.value).toBe("no change shown");
    expect(records.get("looks like road salt")?.value).toBe(false);
    expect(answer).toMatch(/No change of chloride was shown/);
    expect(answer).toMatch(/would have been found with a probability of 80 %/);
    expectNear(records, 0);
  }, 60_000);

  inFull(
    "the sign turned: chloride fell, and salt is not what is seen",
    async () => {
      const { answer, records } = await concluded(-15);
      expect(records.get("verdict on chloride in well 3")?.value).toBe("fell");
      expect(records.get("looks like road salt")?.value).toBe(false);
      expect(answer).toMatch(/chloride in well 3 fell by/);
      expectNear(records, -15);
    },
    60_000,
  );
});

/**
 * Within 4u of the truth: sampling scatter of the sites is part of the simulated story, and a single batch may lie at
 * the edge of its 95 % interval.
 */
function expectNear(records: ReadonlyMap<string, Recorded>, truth: number): void {
  const effect = records.get("chloride in well 3 against the spring");
  expect(Math.abs(Number(effect?.value) - truth)).toBeLessThan(4 * Number(effect?.u));
}

describe("the validation of a range concludes what its data show", () => {
  const VALIDATION = "validating-a-linear-range";
  /** Cells that the answer and the records rest on. */
  const CONCLUDING = new Set([
    "evaluation",
    "decision",
    "verdict",
    "answer",
    "drain-trace",
    "limits-words",
    "records",
  ]);
  const highest = (records: ReadonlyMap<string, Recorded>, ion: string) =>
    Number(records.get(`highest level of ${ion}`)?.value);

  // The detector of the stored batch shows 1/√2 at 4000 µS/cm.
  it("chloride on a straight line, ammonium on the curve of a weak base", () => {
    const { answer, records } = storedConclusions(VALIDATION);
    expect(records.get("model of chloride")?.value).toBe("linear");
    expect(records.get("model of ammonium")?.value).toBe("weak");
    expect(highest(records, "chloride")).toBe(125);
    expect(answer).toMatch(/[Cc]hloride may be reported from .* to 125.mg\/L/);
  });

  it("a range that ends earlier where the detector bends earlier", async () => {
    const scenario = glasshouseScenario({ detectorBend: 1000 });
    const { answer, records } = await concludedFrom(VALIDATION, "glasshouse-drain", scenario, ({ id }) =>
      CONCLUDING.has(id),
    );
    console.log(`detector bends at 1000 µS/cm: ${answer}`);
    expect(records.get("model of chloride")?.value).toBe("linear");
    expect(highest(records, "chloride")).toBe(25);
    expect(answer).toMatch(/[Cc]hloride may be reported from .* to 25\.0.mg\/L/);
  }, 60_000);
});
