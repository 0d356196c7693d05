/** Composition of sea water, as data: edit or replace it in the option `seaWater`. */
export interface SeaWater {
  readonly source: string;
  /** g/kg by ion. */
  readonly composition: Readonly<Record<string, number>>;
}

/** Sea water of salinity 35. Compositions in print differ by up to 2 % in a ratio to sodium. */
export const SEA_WATER: SeaWater = {
  source: "composition of sea water at salinity 35 (from memory)",
  composition: {
    chloride: 19.35,
    sodium: 10.78,
    sulfate: 2.71,
    magnesium: 1.284,
    calcium: 0.412,
    potassium: 0.399,
    bromide: 0.0673,
  },
};
