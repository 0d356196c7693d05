import type { ScenarioSample } from "./scenario.js";

type Amounts = Readonly<Record<string, number>>;

/**
 * What water can take from the dried kelp at all, mg/kg of dry matter; potassium follows from the others. Invented; the
 * giants lie within what is told of large brown algae (sodium 20 to 40, chloride 60 to 120, potassium 60 to 110 g/kg;
 * from memory, no source).
 */
const KELP: Amounts = {
  fluoride: 12,
  acetate: 3600,
  lactate: 2500,
  formate: 700,
  chloride: 104_000,
  nitrite: 0,
  bromide: 850,
  nitrate: 900,
  iodide: 1600,
  sulfate: 15_500,
  oxalate: 1500,
  phosphate: 3800,
  sodium: 31_000,
  ammonium: 240,
  magnesium: 6500,
  calcium: 2600,
  strontium: 120,
};
const ORGANIC = ["acetate", "lactate", "formate", "oxalate"];
/** Charge on dissolved polymers (uronates and the like), meq/kg of dry matter. */
const POLYANIONS = 330;

/** How water meets the powder. */
type Extraction = "10 min" | "1 h" | "24 h" | "second" | "third";

/** Share of the whole that each extraction brings into solution; the second and third are those of the residue of 1 h. */
type Shares = Readonly<Record<Extraction, number>>;

const shares = (
  tenMinutes: number,
  oneHour: number,
  oneDay: number,
  second: number,
  third: number,
): Shares => ({
  "10 min": tenMinutes,
  "1 h": oneHour,
  "24 h": oneDay,
  second,
  third,
});

/** Salt of the cell sap: out at once. */
const SAP = shares(0.9, 0.955, 0.97, 0.04, 0.003);
/** Cations that the cell walls hold: some of them no water takes. */
const WALL = shares(0.42, 0.55, 0.66, 0.12, 0.025);
/** In a day in the warm the powder begins to ferment: nitrate is eaten; ammonium and small acids are made. */
const SHARES: Readonly<Record<string, Shares>> = {
  fluoride: shares(0.8, 0.9, 0.92, 0.06, 0.01),
  acetate: shares(0.85, 0.93, 2.6, 0.05, 0.006),
  lactate: shares(0.85, 0.93, 2.4, 0.05, 0.006),
  formate: shares(0.88, 0.94, 1.4, 0.045, 0.005),
  nitrate: shares(0.91, 0.96, 0.55, 0.036, 0.003),
  sulfate: shares(0.7, 0.84, 0.93, 0.11, 0.03),
  oxalate: shares(0.5, 0.7, 0.8, 0.2, 0.06),
  phosphate: shares(0.62, 0.8, 0.9, 0.13, 0.04),
  ammonium: shares(0.8, 0.92, 1.9, 0.05, 0.008),
  magnesium: WALL,
  calcium: WALL,
  strontium: WALL,
};
const POLYMER_SHARES = shares(0.35, 0.55, 1, 0.3, 0.15);

/** How the extracts are called, and what their pH is. */
const EXTRACTS: readonly (readonly [sample: string, extraction: Extraction, pH: number])[] = [
  ["10 min", "10 min", 6.4],
  ["1 h", "1 h", 6.4],
  ["1 h portion 2", "1 h", 6.4],
  ["1 h portion 3", "1 h", 6.4],
  ["24 h", "24 h", 5.9],
  ["second water", "second", 6.8],
  ["third water", "third", 6.9],
];

/** All extracts of the story; organic acids and polymers as many times as much as asked for. */
export function kelpSamples(organicAnions: number, polyanions: number): readonly ScenarioSample[] {
  return EXTRACTS.map(([sample, extraction, pH]) => ({
    sample,
    site: "pier kelp",
    period: "",
    matrix: "dried kelp",
    collectedAt: "2026-06-08T06:40",
    preparation: {
      kind: "extract",
      massGrams: 1,
      uMassGrams: 0.0005,
      volumeMilliliters: 100,
      uVolumeMilliliters: 0.1,
      dryFraction: 0.93,
    },
    unit: "mg/kg dry",
    composition: Object.fromEntries(
      Object.entries(KELP).map(([name, whole]) => [
        name,
        whole * (SHARES[name] ?? SAP)[extraction] * (ORGANIC.includes(name) ? organicAnions : 1),
      ]),
    ),
    water: {
      pH,
      closing: "potassium",
      polyanions: POLYANIONS * POLYMER_SHARES[extraction] * polyanions,
      titratedTo: 4.5,
    },
  }));
}
