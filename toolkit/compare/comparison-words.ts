import { type MeasuredValue, roundedBy } from "../uncertainty/measured.js";
import type { SeriesComparison, SeriesDesign } from "./series-comparison.js";

/** The sentences that a comparison consists of, in the order in which they are to be read. */
export interface ComparisonWords {
  /** "chloride at well 3 rose by 12.4 ± 1.5 mg/L against spring" */
  readonly headline: string;
  /** Interval, percent and numbers of visits. */
  readonly effect: string;
  readonly test: string;
  readonly smallest: string;
  /** One for each place, only where there are two with a change. */
  readonly places: readonly string[];
  readonly notes: readonly string[];
}

/** A comparison as plain text: effect with interval, then the test, then the smallest difference it could show. */
export function comparisonText(comparison: SeriesComparison): string {
  const words = comparisonWords(comparison);
  const rest = [words.effect, words.test, words.smallest, ...words.places, ...words.notes];
  return [words.headline, ...rest.map((line) => `  ${line}`)].join("\n");
}

export function comparisonWords(comparison: SeriesComparison): ComparisonWords {
  return {
    headline: headline(comparison),
    effect: effectLine(comparison),
    test: testLine(comparison),
    smallest: smallestLine(comparison),
    places: placeLines(comparison),
    notes: [...equivalenceLine(comparison), ...comparison.notes],
  };
}

function headline({ ion, places, effect, verdict, level }: SeriesComparison): string {
  const [treated, control] = places.map(({ place }) => place);
  const size = plusMinus(effect, level, Math.abs(effect.value));
  const against = control === undefined ? "" : ` against ${control}`;
  switch (verdict) {
    case "rose":
    case "fell":
      return `${ion} at ${treated} ${verdict} by ${size}${against}`;
    case "higher":
    case "lower":
      return `${ion} at ${treated} is ${verdict} than at ${control} by ${size}`;
    default:
      return `${ion} at ${treated}: ${verdict}${against}, ${plusMinus(effect, level)}`;
  }
}

function effectLine(comparison: SeriesComparison): string {
  const { interval, effect, unit, percent, level } = comparison;
  const [low, high] = [interval.low, interval.high].map((end) => rounded(effect.u, end));
  const percentage =
    percent === undefined ? "" : `; ${plusMinus(percent, level)} of the level ${levelName(comparison)}`;
  return `${percentOf(level)} interval ${low} to ${high}${unitText(unit)} (k = ${interval.k.toFixed(1)})${percentage}`;
}

function levelName({ design, places }: SeriesComparison): string {
  const [treated, control] = places;
  const withChange = design === "before-after" || design === "before-after-control";
  return withChange ? `before at ${treated.place}` : `at ${control.place}`;
}

const TESTS: Readonly<Record<SeriesDesign, string>> = {
  "before-after-control": "differences between the places, before and after",
  "before-after": "visits before and after",
  paired: "pairs of the same day",
  independent: "visits of both places",
};

function testLine({ t, dof, p, permutation, design, counts }: SeriesComparison): string {
  const freedom = Number.isFinite(dof) ? dof.toFixed(1).replace(/\.0$/, "") : "∞";
  const student = `t = ${minusSign(t.toFixed(2))}, ν = ${freedom}, p ${probability(p)} (${counts.join(" + ")} ${TESTS[design]})`;
  if (permutation === undefined) return student;
  return `${student}; by regrouping p ${probability(permutation.p)}, of which the smallest possible here is ${plainProbability(permutation.smallestP)}`;
}

function smallestLine({ smallestDifference, effect, unit, power, verdict }: SeriesComparison): string {
  const size = `${rounded(effect.u, smallestDifference)}${unitText(unit)}`;
  const chance = `with ${percentOf(power)} probability`;
  return verdict.endsWith("shown")
    ? `not shown is not absent: this study finds ${size} or more ${chance}, less may be there unseen`
    : `smallest difference that this study finds ${chance}: ${size}`;
}

function placeLines({ places, level }: SeriesComparison): readonly string[] {
  if (places.length < 2) return [];
  return places.flatMap(({ place, change }) =>
    change === undefined ? [] : [`change at ${place} alone: ${plusMinus(change, level)}`],
  );
}

function equivalenceLine({ equivalence, unit }: SeriesComparison): readonly string[] {
  if (equivalence === undefined) return [];
  const { margin, p, equivalent } = equivalence;
  const verb = equivalent ? "shown to be" : "not shown to be";
  return [`${verb} within ± ${margin}${unitText(unit)} (two one-sided tests, p ${probability(p)})`];
}

/** "12.4 ± 1.5 mg/L", expanded to `level`. */
function plusMinus(measured: MeasuredValue, level: number, value = measured.value): string {
  const { u, unit } = measured;
  if (u === 0) return `${minusSign(String(value))}${unitText(unit)}`;
  const { k } = measured.interval(level);
  return `${rounded(u, value)} ± ${rounded(u, k * u)}${unitText(unit)}`;
}

function rounded(u: number, x: number): string {
  return minusSign(roundedBy(u, x));
}

function unitText(unit: string): string {
  return unit === "1" ? "" : ` ${unit}`;
}

/** "= 0.031" or "< 0.0001". */
function probability(p: number): string {
  return p < 0.0001 ? "< 0.0001" : `= ${plainProbability(p)}`;
}

function plainProbability(p: number): string {
  return p < 0.001 ? p.toFixed(5).replace(/0+$/, "") : String(Number(p.toPrecision(2)));
}

function percentOf(part: number): string {
  return `${Number((100 * part).toPrecision(4))} %`;
}

function minusSign(text: string): string {
  return text.replace("-", "−");
}
