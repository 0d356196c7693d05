import type { ScenarioSample } from "./scenario.js";

type Composition = Readonly<Record<string, number>>;

/** mg/L; calcium follows from the others. What the plants leave of the feed, and what the source water brought along. */
const FEED: Composition = {
  chloride: 42,
  nitrate: 980,
  sulfate: 330,
  phosphate: 120,
  sodium: 26,
  ammonium: 16,
  potassium: 310,
  magnesium: 46,
};
const GUTTER_1: Composition = {
  chloride: 96,
  nitrate: 1040,
  sulfate: 430,
  phosphate: 84,
  sodium: 74,
  ammonium: 1.9,
  potassium: 290,
  magnesium: 66,
};
const GUTTER_2: Composition = { ...GUTTER_1, chloride: 128, sodium: 97, ammonium: 0.32, potassium: 262 };
const GUTTER_3: Composition = { ...GUTTER_1, chloride: 171, sodium: 128, ammonium: 5.4, magnesium: 74 };
const TANK: Composition = { ...GUTTER_1, chloride: 134, sodium: 101, ammonium: 2.4 };

/** Days of the visits: everything on the first, the drain tank again on the others. */
const DAYS = ["2026-05-11", "2026-05-13", "2026-05-15"] as const;

/** "drain tank (11 May)" */
export function bottleName(site: string, visit = 0): string {
  return `${site} (${Number(DAYS[visit].slice(8))} May)`;
}

function bottle(site: string, composition: Composition, pH: number, visit = 0): ScenarioSample {
  return {
    sample: bottleName(site, visit),
    site,
    period: "",
    matrix: site === "feed" ? "nutrient solution" : "drain water",
    collectedAt: `${DAYS[visit]}T07:30`,
    preparation: { kind: "direct" },
    unit: "mg/L",
    composition,
    water: { pH, closing: "calcium" },
  };
}

/** All samples of the story. */
export function glasshouseSamples(): readonly ScenarioSample[] {
  return [
    bottle("feed", FEED, 5.5),
    bottle("gutter 1", GUTTER_1, 6.1),
    bottle("gutter 2", GUTTER_2, 6.3),
    bottle("gutter 3", GUTTER_3, 6),
    ...DAYS.map((_, visit) => bottle("drain tank", TANK, 6.1, visit)),
  ];
}
