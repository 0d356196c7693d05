import type { ScenarioSample } from "./scenario.js";

type Composition = Readonly<Record<string, number>>;

/** mg/L before the thaw; 0 is truly absent. Wells 1, 2 and 4 lie off the road, well 3 below it. */
const SPRING: Composition = {
  fluoride: 0.08,
  chloride: 6.5,
  nitrite: 0,
  bromide: 0,
  nitrate: 8.2,
  sulfate: 18,
  phosphate: 0.015,
  lithium: 0,
  sodium: 4.2,
  ammonium: 0,
  potassium: 0.9,
  magnesium: 9.5,
  calcium: 58,
  strontium: 0.12,
};
const WELL_1: Composition = {
  fluoride: 0.12,
  chloride: 21,
  nitrite: 0.013,
  bromide: 0.03,
  nitrate: 34,
  sulfate: 31,
  phosphate: 0.15,
  lithium: 0.004,
  sodium: 9,
  ammonium: 0.03,
  potassium: 2.6,
  magnesium: 14,
  calcium: 82,
  strontium: 0.25,
};
const WELL_2: Composition = {
  fluoride: 0.1,
  formate: 0.9,
  methanesulfonate: 18,
  chloride: 29,
  nitrite: 0.35,
  bromide: 0.05,
  nitrate: 16,
  sulfate: 44,
  phosphate: 0.8,
  lithium: 0.011,
  sodium: 17,
  ammonium: 0.9,
  potassium: 6.5,
  magnesium: 16,
  calcium: 88,
  strontium: 0.3,
};
const WELL_3: Composition = {
  fluoride: 0.1,
  chloride: 38,
  nitrite: 0,
  bromide: 0.04,
  nitrate: 12,
  sulfate: 27,
  phosphate: 0.03,
  lithium: 0.006,
  sodium: 19,
  ammonium: 0,
  potassium: 1.8,
  magnesium: 12,
  calcium: 76,
  strontium: 0.28,
};
const WELL_4: Composition = {
  fluoride: 0.15,
  chloride: 12,
  nitrite: 0,
  bromide: 0,
  nitrate: 19,
  sulfate: 22,
  phosphate: 0,
  lithium: 0.008,
  sodium: 7.5,
  ammonium: 0,
  potassium: 1.4,
  magnesium: 11,
  calcium: 69,
  strontium: 0,
};
const DITCH: Composition = {
  fluoride: 0.15,
  chloride: 12,
  nitrite: 0.08,
  bromide: 0.45,
  nitrate: 7,
  sulfate: 34,
  phosphate: 0.3,
  lithium: 0,
  sodium: 8,
  ammonium: 0.7,
  potassium: 9,
  magnesium: 8,
  calcium: 64,
  strontium: 0.35,
};
/** Salt in the ditch: sodium chloride. */
const BRINE: Composition = { chloride: 1290, sodium: (1290 / 35.453) * 22.99 };
/** Its calcium follows from the others. */
const RAIN: Composition = {
  fluoride: 0,
  chloride: 0.85,
  nitrite: 0,
  bromide: 0,
  nitrate: 1.4,
  sulfate: 1.1,
  phosphate: 0,
  lithium: 0,
  sodium: 0.45,
  ammonium: 0.35,
  potassium: 0.08,
  magnesium: 0.06,
  calcium: 0,
  strontium: 0,
};
/** mg/kg of dry soil, shaken out with water. */
const ROADSIDE_SOIL: Composition = {
  fluoride: 2,
  chloride: 420,
  nitrite: 0,
  bromide: 0,
  nitrate: 38,
  sulfate: 60,
  phosphate: 8,
  lithium: 0,
  sodium: 240,
  ammonium: 6,
  potassium: 55,
  magnesium: 30,
  calcium: 260,
  strontium: 1.5,
};

/** Days of the visits; those with three are for well 3 and the spring, the middle one for everything. */
const BEFORE = ["2026-02-17", "2026-02-19", "2026-02-21"] as const;
const AFTER = ["2026-03-10", "2026-03-12", "2026-03-14"] as const;
const MONTHS = ["Jan", "Feb", "Mar"];

/** "well 3 (10 Mar)" */
export function sampleName(site: string, day: string): string {
  return `${site} (${Number(day.slice(8))} ${MONTHS[Number(day.slice(5, 7)) - 1]})`;
}

/** The visits to well 3 and the spring in a period, as many as asked for, the middle day always among them. */
export function visitDays(period: "before" | "after", visits: number): readonly string[] {
  const days = period === "before" ? BEFORE : AFTER;
  return visits === 1 ? [days[1]] : visits === 2 ? [days[1], days[2]] : days;
}

/**
 * What a rise of chloride by road salt adds to a water, mg/L: the sodium that came with it has in part taken the place
 * of calcium and magnesium on the soil's clay.
 */
export function saltAdded(chloride: number): Composition {
  const equivalents = chloride / 35.453;
  return {
    chloride,
    sodium: 0.7 * equivalents * 22.99,
    calcium: (0.25 * equivalents * 40.078) / 2,
    magnesium: (0.05 * equivalents * 24.305) / 2,
  };
}

function water(
  site: string,
  day: string,
  composition: Composition,
  pH: number,
  about: Partial<ScenarioSample> = {},
): ScenarioSample {
  return {
    sample: sampleName(site, day),
    site,
    period: day < AFTER[0] ? "before" : "after",
    matrix: "groundwater",
    collectedAt: `${day}T09:30`,
    preparation: { kind: "direct" },
    unit: "mg/L",
    composition,
    water: { pH, closing: "alkalinity" },
    ...about,
  };
}

/** All samples of the story. */
export function roadSaltSamples(rise: number, visits: number): readonly ScenarioSample[] {
  const before = visitDays("before", visits);
  const after = visitDays("after", visits);
  const elsewhere = [BEFORE[1], AFTER[1]];
  return [
    ...[...before, ...after].map((day) => water("spring", day, SPRING, 7.4, { matrix: "spring water" })),
    ...elsewhere.map((day) => water("well 1", day, WELL_1, 7.2)),
    ...elsewhere.map((day) => water("well 2", day, WELL_2, 7.1)),
    ...before.map((day) => water("well 3", day, WELL_3, 7.3)),
    ...after.map((day) => water("well 3", day, WELL_3, 7.3, { added: saltAdded(rise) })),
    ...elsewhere.map((day) => water("well 4", day, WELL_4, 7.5)),
    water("rain", AFTER[1], RAIN, 5.1, { matrix: "rain", water: { pH: 5.1, closing: "calcium" } }),
    water("ditch", AFTER[1], DITCH, 7.8, { matrix: "melt water", added: BRINE }),
    soil(AFTER[1]),
  ];
}

function soil(day: string): ScenarioSample {
  return {
    sample: sampleName("roadside soil", day),
    site: "roadside soil",
    period: "after",
    matrix: "soil",
    collectedAt: `${day}T09:30`,
    preparation: {
      kind: "extract",
      massGrams: 5,
      uMassGrams: 0.003,
      volumeMilliliters: 100,
      uVolumeMilliliters: 0.15,
      dryFraction: 0.978,
    },
    unit: "mg/kg dry",
    composition: ROADSIDE_SOIL,
  };
}
