import type { GroupedCharge } from "./charge-groups.js";

/** One water of a diagram, as far as its notes go. */
export interface NotedWater {
  readonly name: string;
  readonly charge: GroupedCharge;
  /** Names of the groups whose bound shows as an open symbol. */
  readonly open: readonly string[];
}

/** Charge outside all groups that is worth a word, part of a side. */
const LEFT_OUT = 0.05;
const MOST_NAMES = 3;

/**
 * What a reader must know of the ions behind a diagram, in sentences: what was not measured, what stands at a bound, what
 * is left out, and where hydrogencarbonate comes from.
 *
 * @param lacking what becomes of a water without one of the main ions: "no place among …"
 */
export function chargeNotes(waters: readonly NotedWater[], lacking: string): readonly string[] {
  return [
    ...mainNotes(waters, lacking),
    ...incompleteNotes(waters),
    ...boundNotes(waters),
    ...leftOutNotes(waters),
    ...flagNotes(waters),
  ].map((note) => note.charAt(0).toUpperCase() + note.slice(1));
}

function mainNotes(waters: readonly NotedWater[], lacking: string): readonly string[] {
  const missing = byIon(waters, (charge) =>
    charge.groups.flatMap(({ milliequivalents, absent }) =>
      milliequivalents === undefined ? [absent[0]] : [],
    ),
  );
  return together(missing).map(([ions, names]) => {
    const were = ions.length === 1 ? "was" : "were";
    return `${listOf(ions)} ${were} not measured in ${someOf(names, waters.length)}: ${lacking}.`;
  });
}

function incompleteNotes(waters: readonly NotedWater[]): readonly string[] {
  const missing = byIon(waters, (charge) =>
    charge.groups.flatMap(({ milliequivalents, absent }) => (milliequivalents === undefined ? [] : absent)),
  );
  const groupOf = (ion: string): string =>
    waters.flatMap(({ charge }) => charge.groups).find(({ absent }) => absent.includes(ion))?.name ?? "";
  return [...missing].map(
    ([ion, names]) =>
      `${ion} was not measured in ${someOf(names, waters.length)}: the group of ${groupOf(ion)} lacks it there.`,
  );
}

/** Ions that are missing in the same waters, in one line. */
function together(
  missing: ReadonlyMap<string, readonly string[]>,
): readonly (readonly [ions: readonly string[], names: readonly string[]])[] {
  const found = new Map<string, { ions: string[]; names: readonly string[] }>();
  for (const [ion, names] of missing) {
    const key = names.join("\n");
    const same = found.get(key);
    if (same === undefined) found.set(key, { ions: [ion], names });
    else same.ions.push(ion);
  }
  return [...found.values()].map(({ ions, names }) => [ions, names] as const);
}

function listOf(names: readonly string[]): string {
  return names.length < 2
    ? names.join("")
    : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}

function boundNotes(waters: readonly NotedWater[]): readonly string[] {
  const told = (seen: boolean): readonly string[] => {
    const openIn = new Map(waters.map(({ charge, open }) => [charge, open]));
    const bounds = byIon(waters, (charge) =>
      charge.groups.flatMap((group) =>
        (openIn.get(charge)?.includes(group.name) ?? false) === seen ? group.bounds : [],
      ),
    );
    return [...bounds].map(([ion, names]) => `${ion} in ${someOf(names, waters.length)}`);
  };
  const [seen, unseen] = [told(true), told(false)];
  return [
    ...(seen.length > 0 ? [`Open symbols: below a limit and drawn at it, ${seen.join("; ")}.`] : []),
    ...(unseen.length > 0
      ? [`Below a limit and counted at it, too little to be seen: ${unseen.join("; ")}.`]
      : []),
  ];
}

function leftOutNotes(waters: readonly NotedWater[]): readonly string[] {
  return (["cation", "anion"] as const).flatMap((side) => {
    const worth = waters.filter(({ charge }) => charge.leftOut[side] > LEFT_OUT);
    if (worth.length === 0) return [];
    const most = worth.reduce((a, b) => (b.charge.leftOut[side] > a.charge.leftOut[side] ? b : a));
    const percent = (100 * most.charge.leftOut[side]).toFixed(0);
    return [
      `Other ${side}s, which belong to no group and are left out, carry up to ${percent} % of the charge of the ${side}s (${most.name}).`,
    ];
  });
}

const FLAGS: readonly (readonly [flag: string, words: (names: string) => string])[] = [
  [
    "hydrogencarbonate-by-difference",
    (names) =>
      `Hydrogencarbonate is what the balance of charge leaves over in ${names}: no balance tests these waters.`,
  ],
  ["no-hydrogencarbonate-at-pH", (names) => `Below pH 4.5 there is no hydrogencarbonate: ${names}.`],
  ["hydrogencarbonate-from-air", (names) => `Hydrogencarbonate by equilibrium with air: ${names}.`],
  ["alkalinity-used-up", (names) => `Other bases than carbonate take up the whole alkalinity of ${names}.`],
  ["assumed-pH", (names) => `The pH is not known and taken as 7 in ${names}.`],
];

function flagNotes(waters: readonly NotedWater[]): readonly string[] {
  return FLAGS.flatMap(([flag, words]) => {
    const names = waters.filter(({ charge }) => charge.flags.includes(flag)).map(({ name }) => name);
    return names.length === 0 ? [] : [words(someOf(names, waters.length))];
  });
}

function byIon(
  waters: readonly NotedWater[],
  ionsOf: (charge: GroupedCharge) => readonly string[],
): ReadonlyMap<string, readonly string[]> {
  const found = new Map<string, string[]>();
  for (const { name, charge } of waters) {
    for (const ion of new Set(ionsOf(charge))) {
      const names = found.get(ion);
      if (names === undefined) found.set(ion, [name]);
      else names.push(name);
    }
  }
  return found;
}

/** "a, b and 4 more", or "all 22 waters". */
export function someOf(names: readonly string[], all: number): string {
  if (names.length === all && all > 1) return `all ${all} waters`;
  const shown = names.length > MOST_NAMES + 1 ? names.slice(0, MOST_NAMES) : names;
  const rest = names.length - shown.length;
  if (rest > 0) return `${shown.join(", ")} and ${rest} more`;
  return shown.length < 2
    ? shown.join("")
    : `${shown.slice(0, -1).join(", ")} and ${shown[shown.length - 1]}`;
}
