/** What to mind of a substance on the bench, shown where it is first met. */
interface Hazard {
  /** Ions or acids it belongs to. */
  readonly of: readonly string[];
  readonly text: string;
  /** Said of solids and strong solutions only. */
  readonly solidOnly?: true;
}

const OXIDISERS = [
  "nitrate",
  "nitrite",
  "chlorite",
  "chlorate",
  "perchlorate",
  "bromate",
  "iodate",
  "permanganate",
  "chromate",
  "hypochlorite",
] as const;

/**
 * Usual cautions with acids, oxidisers and poisons.
 *
 * @source common practice of the laboratory, no source; the label and safety data sheet of the bottle in hand go first
 */
const HAZARDS: readonly Hazard[] = [
  {
    of: OXIDISERS,
    solidOnly: true,
    text: "oxidiser: keep the solid off paper, organic solvents, acids, ammonium salts and metal powder; wipe spills with plenty of water, never into a paper bin",
  },
  { of: ["nitrite"], text: "poisonous if swallowed; never acidify: nitrogen oxides escape" },
  { of: ["chlorite"], text: "never acidify: chlorine dioxide escapes" },
  {
    of: ["bromate", "chromate"],
    text: "suspected or known to cause cancer: gloves, no dust, collect the waste",
  },
  { of: ["azide"], text: "very poisonous; never acidify, never into metal drains: explosive azides form" },
  { of: ["cyanide"], text: "deadly; only in the hood, never acidify, not alone in the room" },
  { of: ["sulfide", "hydrogensulfide", "sulfite"], text: "only in the hood; never acidify" },
  {
    of: ["fluoride"],
    text: "poisonous; plastic instead of glass for keeping; with acid hydrogen fluoride forms",
  },
  {
    of: ["barium", "lead(II)", "cadmium", "thallium(I)"],
    text: "poisonous: gloves, no dust, collect the waste",
  },
  { of: ["silver"], text: "stains skin and bench; keep dark; never let it stand with ammonia" },
  { of: ["hydroxide"], text: "caustic: goggles and gloves; it warms on dissolving" },
  {
    of: ["nitric acid"],
    text: "corrosive and an oxidiser: goggles, gloves, hood; acid into water, never water into acid",
  },
  {
    of: ["hydrochloric acid", "sulfuric acid", "phosphoric acid"],
    text: "corrosive: goggles, gloves, hood; acid into water, never water into acid",
  },
  {
    of: ["perchloric acid"],
    text: "corrosive and a strong oxidiser: only in its own hood, nothing organic near; acid into water",
  },
];

/** A caution and the substance it is about. */
export interface Caution {
  readonly about: string;
  readonly text: string;
}

/**
 * Cautions for substances named by ion or acid.
 *
 * @param solid whether the bottle with the solid is opened
 */
export function cautionsFor(names: Iterable<string>, about: string, solid: boolean): readonly Caution[] {
  const met = new Set(names);
  return HAZARDS.filter(({ of, solidOnly }) => (solid || !solidOnly) && of.some((name) => met.has(name))).map(
    ({ text }) => ({ about, text }),
  );
}

/** What nobody writes down and everybody does. */
export const ALWAYS =
  "Goggles, gloves and coat on; label every flask before it is filled; never pipette by mouth.";

/** How long standards keep, by what they hold. */
const SHORT_LIVED = ["nitrite", "phosphate"] as const;

/**
 * @param lowest lowest content of the standard that is counted on, mg/L
 * @source common practice, no source
 */
export function keeping(ions: Iterable<string>, lowest: number): string {
  if (lowest < 1) return "for the day of use";
  const met = new Set(ions);
  if (SHORT_LIVED.some((name) => met.has(name))) return "a week, cold and dark";
  return "a month, cold and dark";
}
