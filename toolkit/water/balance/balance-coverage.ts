/** What a rule asks to be known before a balance is judged. */
export interface CoverageRule {
  readonly source: string;
  /** The rule speaks of waters between these, inclusive. */
  readonly pH: readonly [from: number, to: number];
  /** Every ion with at least this part of the sum of its side belongs into the balance, %. */
  readonly leastPercent: number;
}

/** What such a rule says of one water. */
export interface CoverageNote {
  readonly source: string;
  /** True where the rule speaks of this water; undefined where its pH is not known. */
  readonly applies: boolean | undefined;
  /** Usual ions that are not among those counted. */
  readonly notGiven: readonly string[];
  /** Ions counted although they make up less than the rule asks for. */
  readonly belowLeast: readonly string[];
  /** In plain words. */
  readonly words: string;
}

/** Rules on what a balance must contain, as data. */
export const COVERAGE_RULES: readonly CoverageRule[] = [
  {
    source: "DIN 38402-62 (read in its public summary)",
    pH: [3, 10],
    leastPercent: 0.5,
  },
];

/** Ions that reach half a percent of their side in most waters (common practice, no source). */
const USUAL = [
  ["calcium"],
  ["magnesium"],
  ["sodium"],
  ["potassium"],
  ["chloride"],
  ["sulfate"],
  ["nitrate"],
  ["hydrogencarbonate", "carbonate"],
] as const;
/** Below either, hydrogen ions carry a noticeable part of the charge. */
const ACID_PH = 5.5;
const DILUTE = 0.5;

/** One ion's share, plain numbers. */
export interface CoveredShare {
  readonly ion: string;
  readonly side: "cation" | "anion";
  /** meq/L */
  readonly milliequivalents: number;
}

/**
 * Whether a balance contains what the rules ask for, in words: what is not given cannot be known to be small.
 *
 * @param pH undefined where not measured
 */
export function coverageOf(
  shares: readonly CoveredShare[],
  pH: number | undefined,
  rules: readonly CoverageRule[] = COVERAGE_RULES,
): readonly CoverageNote[] {
  const names = new Set(shares.map(({ ion }) => ion));
  const notGiven = USUAL.filter((any) => !any.some((name) => names.has(name))).map(([name]) => name);
  const notes = rules.map((rule) => noteOf(rule, shares, pH, notGiven));
  const total = shares.reduce((sum, { milliequivalents }) => sum + milliequivalents, 0);
  if (pH === undefined && !names.has("hydrogen") && total > 0 && total <= DILUTE) {
    const words = `Dilute water without a pH: hydrogen ions, which matter below pH ${ACID_PH} or ${DILUTE} meq/L in all, are not counted.`;
    const source = "common practice, no source";
    return [...notes, { source, applies: true, notGiven: ["hydrogen"], belowLeast: [], words }];
  }
  return notes;
}

function noteOf(
  rule: CoverageRule,
  shares: readonly CoveredShare[],
  pH: number | undefined,
  notGiven: readonly string[],
): CoverageNote {
  const { source, leastPercent } = rule;
  const [from, to] = rule.pH;
  const applies = pH === undefined ? undefined : pH >= from && pH <= to;
  const sum = (side: string): number =>
    shares.reduce((total, each) => total + (each.side === side ? each.milliequivalents : 0), 0);
  const belowLeast = shares
    .filter((each) => each.milliequivalents < (leastPercent / 100) * sum(each.side))
    .map(({ ion }) => ion);
  const reach =
    applies === undefined
      ? `The rule speaks of pH ${from} to ${to}; no pH is given.`
      : applies
        ? `The rule speaks of pH ${from} to ${to} and so of this water.`
        : `The rule speaks of pH ${from} to ${to}; it does not speak of this water, pH ${pH?.toFixed(1)}.`;
  const missing =
    notGiven.length === 0
      ? `It asks for every ion of ${leastPercent} % of its side or more; the usual ones are all given.`
      : `It asks for every ion of ${leastPercent} % of its side or more; of the usual ones these are not given and must be known to be smaller: ${notGiven.join(", ")}.`;
  return { source, applies, notGiven, belowLeast, words: `${reach} ${missing}` };
}
