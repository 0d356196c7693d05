import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { publishedWatersView } from "../../toolkit/show/view/published-waters-view.js";
import { waterFiguresView } from "../../toolkit/show/view/water-figures-view.js";
import { openPublishedWaters } from "../../toolkit/water/published/published-waters.js";
import { waterFigures } from "../../toolkit/water/ratios/water-figures.js";

const dataset = (folder: string) =>
  openPublishedWaters(fileURLToPath(new URL(`../../datasets/${folder}`, import.meta.url)));

describe("published waters in a notebook", () => {
  it("show their first rows with limits, count the rest, and say what each column means", async () => {
    const found = await dataset("menominee-river");
    const page = String(publishedWatersView(found)["text/html"]);
    expect(page).toContain("NO₃⁻");
    expect(page).toContain("&lt; 0.1");
    expect(page).toContain("25 more.");
    expect(page).toContain("nitrate nitrogen");
    expect(page).toContain("CC0-1.0");
  });
  it("what comes from a file is escaped", async () => {
    const found = await dataset("menominee-river");
    const [first] = found.waters;
    const hostile = { ...found, title: "<script>x</script>", waters: [{ ...first, sample: "<b>7" }] };
    const page = String(publishedWatersView(hostile)["text/html"]);
    expect(page).not.toContain("<script>x");
    expect(page).not.toContain("<b>7");
  });
});

describe("figures of a water in a notebook", () => {
  it("show bounds as such, the criterion that is missed first, and sea salt by its reference", () => {
    const water = {
      sodium: 23,
      chloride: 31,
      bromide: { below: 0.1 },
      sulfate: 42,
      calcium: 62,
      magnesium: 14,
    };
    const found = waterFigures(water, { alkalinity: 160, dissolvedSolids: 200 });
    const page = String(waterFiguresView(found)["text/html"]);
    expect(page).toContain("Outside its limits: measured over computed dissolved solids");
    expect(page).toContain("≥ 310");
    expect(page).toContain("by sodium");
  });
});
