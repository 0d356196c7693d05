/** Two ions, or an ion and acid, that must not share a flask, and what happens where they do. */
export interface Reaction {
  /** Names of ions; "acid" for any acid in the flask. */
  readonly between: readonly [string, string];
  readonly what: string;
  /** "refuse": the solution does not keep its content; "caution": it does for a day if treated as said. */
  readonly verdict: "refuse" | "caution";
  /** Sets a dangerous gas free: said first. */
  readonly dangerous?: true;
}

/** Ions that take electrons from others, in neutral solution slowly, in acid at once. */
const OXIDISERS = ["chlorite", "hypochlorite", "permanganate", "chromate", "iodate", "bromate"] as const;
/** Ions that give them. */
const REDUCERS = ["sulfite", "hydrogensulfite", "thiosulfate", "hydrogensulfide", "sulfide"] as const;

/** @source textbook chemistry of the ions (N. N. Greenwood, A. Earnshaw, Chemistry of the Elements; from memory) */
const PAIRS: readonly Reaction[] = [
  refuse(
    "nitrite",
    "acid",
    "nitrous acid falls apart to nitrogen oxides: poisonous gas and a falling content",
    true,
  ),
  refuse("cyanide", "acid", "hydrogen cyanide escapes: a deadly gas", true),
  refuse("azide", "acid", "hydrazoic acid escapes: poisonous and explosive", true),
  refuse("sulfide", "acid", "hydrogen sulfide escapes: a poisonous gas", true),
  refuse("hydrogensulfide", "acid", "hydrogen sulfide escapes: a poisonous gas", true),
  refuse("sulfite", "acid", "sulfur dioxide escapes", true),
  refuse("hydrogensulfite", "acid", "sulfur dioxide escapes", true),
  refuse("thiosulfate", "acid", "sulfur separates and sulfur dioxide escapes"),
  refuse("chlorite", "acid", "chlorine dioxide forms: a poisonous gas", true),
  refuse("hypochlorite", "acid", "chlorine escapes: a poisonous gas", true),
  refuse("carbonate", "acid", "carbon dioxide escapes and the content with it"),
  refuse("hydrogencarbonate", "acid", "carbon dioxide escapes and the content with it"),
  caution(
    "fluoride",
    "acid",
    "hydrogen fluoride forms and etches glass: plastic flasks, and never on the skin",
    true,
  ),
  caution(
    "nitrite",
    "ammonium",
    "the two react to nitrogen, fast in acid and when warm: keep neutral and cold, prepare for the day",
  ),
  refuse("nitrite", "sulfamate", "the two react to nitrogen"),
  refuse("nitrite", "azide", "the two react to nitrogen and nitrous oxide"),
  refuse("nitrite", "hypochlorite", "nitrite is oxidised to nitrate"),
  refuse("nitrite", "permanganate", "nitrite is oxidised to nitrate"),
  refuse("nitrite", "chlorite", "nitrite is oxidised to nitrate"),
  refuse("hypochlorite", "ammonium", "chloramines form: poisonous gases", true),
  refuse("hypochlorite", "bromide", "bromide is oxidised to bromine and bromate"),
  refuse("hypochlorite", "iodide", "iodide is oxidised to iodine and iodate"),
  refuse("hypochlorite", "cyanide", "cyanogen chloride forms: a poisonous gas", true),
  refuse("hypochlorite", "formate", "formate is oxidised"),
  refuse("permanganate", "iodide", "iodide is oxidised"),
  refuse("permanganate", "oxalate", "oxalate is oxidised"),
  refuse("chlorite", "iodide", "iodide is oxidised"),
  refuse("hydroxide", "ammonium", "ammonia escapes and the content with it"),
  ...OXIDISERS.flatMap((oxidiser) =>
    REDUCERS.map((reducer) => refuse(oxidiser, reducer, `${oxidiser} oxidises ${reducer}`)),
  ),
];

/** In acid only. */
const IN_ACID: readonly Reaction[] = [
  refuse("nitrite", "ammonium", "in acid the two react to nitrogen"),
  refuse("bromate", "bromide", "in acid the two react to bromine"),
  refuse("iodate", "iodide", "in acid the two react to iodine"),
  refuse("nitrite", "iodide", "in acid nitrite oxidises iodide to iodine"),
  refuse("chlorate", "iodide", "in acid chlorate oxidises iodide"),
  refuse("permanganate", "chloride", "in acid permanganate oxidises chloride to chlorine"),
];

function refuse(first: string, second: string, what: string, dangerous?: true): Reaction {
  return { between: [first, second], what, verdict: "refuse", ...(dangerous && { dangerous }) };
}

function caution(first: string, second: string, what: string, dangerous?: true): Reaction {
  return { between: [first, second], what, verdict: "caution", ...(dangerous && { dangerous }) };
}

/**
 * Reactions between what a flask holds, dangerous ones first.
 *
 * @param ions names
 * @param acid whether acid is in the flask
 */
export function reactionsOf(ions: ReadonlySet<string>, acid: boolean): readonly Reaction[] {
  const there = (name: string): boolean => (name === "acid" ? acid : ions.has(name));
  const found = [...PAIRS, ...(acid ? IN_ACID : [])].filter(({ between }) => between.every(there));
  return found.sort((a, b) => rank(a) - rank(b));
}

function rank(reaction: Reaction): number {
  return (reaction.dangerous ? 0 : 1) + (reaction.verdict === "refuse" ? 0 : 2);
}
