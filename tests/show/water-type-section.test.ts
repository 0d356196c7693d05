import { describe, expect, it } from "vitest";
import type { SampleWater } from "../../toolkit/batch/sample-water.js";
import type { Results } from "../../toolkit/batch/types.js";
import { waterTypeSection } from "../../toolkit/show/page/water-type-section.js";
import { inventedResults } from "./invented-results.js";

// Invented waters, mg/L; alkalinity in mg/L as CaCO3.
const HARD: SampleWater = {
  name: "hard spring",
  concentrations: {
    calcium: 90,
    magnesium: 9,
    sodium: 5,
    potassium: 1,
    chloride: 9,
    sulfate: 20,
    nitrate: 4,
  },
  alkalinity: 230,
};
const SALT: SampleWater = {
  name: "salt ditch",
  concentrations: { calcium: 30, magnesium: 4, sodium: 700, potassium: 8, chloride: 1100, sulfate: 30 },
  alkalinity: 90,
};
const UNTITRATED: SampleWater = { name: "untitrated", concentrations: SALT.concentrations };

const BASE = inventedResults({ points: 300 });
const section = (waters: readonly SampleWater[]) =>
  waterTypeSection({ ...BASE, waters: () => waters } as Results);

describe("the kinds of water in a report", () => {
  it("are told in a sentence, drawn for broad and narrow windows, and listed with their parts", async () => {
    const body = String((await section([HARD, SALT]))?.body);
    expect(body).toContain("1 calcium–hydrogencarbonate, 1 sodium + potassium–chloride");
    expect(body.match(/<svg/g)).toHaveLength(2);
    expect(body).toMatch(/class="chart wide broad".*class="chart wide narrow"/s);
    // 90 mg/L ÷ 20.04 mg/meq of 5.48 meq/L of cations: 82 %.
    expect(body).toMatch(/hard spring.*8[12]\./s);
  });

  it("say of a water without alkalinity why it is not in the diamond", async () => {
    const body = String((await section([HARD, SALT, UNTITRATED]))?.body);
    expect(body).toContain("Hydrogencarbonate was not measured in untitrated");
  });

  it("are left out where no two waters can be compared", async () => {
    expect(await section([HARD, UNTITRATED])).toBeUndefined();
    expect(await section([])).toBeUndefined();
    expect(await section([{ name: "one ion", concentrations: { chloride: 3 } }])).toBeUndefined();
  });
});
