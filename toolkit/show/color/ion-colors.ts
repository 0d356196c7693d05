/**
 * Colours of the ions: seven of the eight colours of a published colour-blind-safe set, plus greys for what has
 * no name. An ion keeps its colour in every chart and table. Neighbours on the two usual columns and neighbours
 * in a balance bar differ, and so do all that carry the charge of a water on either side.
 *
 * @source Okabe M., Ito K.: Color Universal Design, 2008 (blue, sky blue, bluish green, orange, vermilion,
 *   reddish purple, yellow), from memory
 */
export type ColorName =
  | "blue"
  | "sky"
  | "green"
  | "orange"
  | "vermilion"
  | "purple"
  | "yellow"
  | "slate"
  | "unknown"
  | "system";

export interface ColorTones {
  /** For fills, points and lines. */
  readonly fill: string;
  /** For text on the light ground: the same hue, dark enough to read. */
  readonly onLight: string;
  /** For text on the dark ground. */
  readonly onDark: string;
}

export const COLORS: Readonly<Record<ColorName, ColorTones>> = {
  blue: { fill: "#0072B2", onLight: "#00619A", onDark: "#5CB3E8" },
  sky: { fill: "#56B4E9", onLight: "#1D6F9E", onDark: "#8ACDF2" },
  green: { fill: "#009E73", onLight: "#00704F", onDark: "#3CC79C" },
  orange: { fill: "#E69F00", onLight: "#8A5F00", onDark: "#F0B73D" },
  vermilion: { fill: "#D55E00", onLight: "#AD4A00", onDark: "#F58D47" },
  purple: { fill: "#CC79A7", onLight: "#97456F", onDark: "#E2A6C5" },
  yellow: { fill: "#F0E442", onLight: "#6E6700", onDark: "#EFE55A" },
  slate: { fill: "#8792A2", onLight: "#4D5968", onDark: "#A9B4C2" },
  unknown: { fill: "#A3A3A3", onLight: "#666666", onDark: "#B5B5B5" },
  system: { fill: "#C4C4C4", onLight: "#6F6F6F", onDark: "#9C9C9C" },
};

const BY_ION: Readonly<Record<string, ColorName>> = {
  fluoride: "sky",
  glycolate: "purple",
  lactate: "vermilion",
  acetate: "orange",
  formate: "green",
  chlorite: "yellow",
  bromate: "vermilion",
  chloride: "blue",
  nitrite: "orange",
  cyanate: "yellow",
  chlorate: "sky",
  bromide: "purple",
  nitrate: "vermilion",
  sulfite: "green",
  sulfate: "yellow",
  hydrogencarbonate: "slate",
  carbonate: "slate",
  malate: "sky",
  oxalate: "purple",
  phosphate: "green",
  arsenate: "vermilion",
  chromate: "yellow",
  iodide: "purple",
  thiosulfate: "orange",
  thiocyanate: "sky",
  perchlorate: "blue",
  citrate: "orange",
  lithium: "yellow",
  sodium: "orange",
  ammonium: "vermilion",
  potassium: "purple",
  rubidium: "sky",
  caesium: "blue",
  magnesium: "sky",
  calcium: "green",
  strontium: "blue",
  barium: "yellow",
  hydrogen: "slate",
  hydroxide: "slate",
};

const SPARE: readonly ColorName[] = ["purple", "sky", "yellow", "vermilion", "orange", "green", "blue"];

/** The colour of an ion, of "unknown-1" … or of "system-1" …; an ion without a place of its own gets one by name. */
export function ionColor(name: string): ColorName {
  if (/^unknown\b/.test(name)) return "unknown";
  if (/^system\b/.test(name)) return "system";
  const known = Object.hasOwn(BY_ION, name) ? BY_ION[name] : undefined;
  if (known !== undefined) return known;
  let sum = 0;
  for (let index = 0; index < name.length; index += 1) sum = (sum * 31 + name.charCodeAt(index)) % 9973;
  return SPARE[sum % SPARE.length];
}
