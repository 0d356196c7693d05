/** What the flags of a result say, in words; a flag without a sentence here stands for itself. */
const WORDS: Readonly<Record<string, string>> = {
  "check-high": "A bracketing check read high; the result may be high.",
  "check-low": "A bracketing check read low; the result or its limit may be low.",
  "no-bracket": "No passing check stands on both sides of this injection.",
  "standards-disagree": "The calibration standards and the second source disagree.",
  blank: "Contamination was seen in a blank at a level that matters here.",
  "recovery-high": "The recovery of the fortified blank was high.",
  "recovery-low": "The recovery of the fortified blank was low.",
  matrix: "The recovery in this matrix lies outside its limits.",
  duplicates: "The duplicates disagree.",
  "above-range": "Above the calibrated range: an estimate.",
  "name-uncertain": "The name of the peak is uncertain.",
  late: "Analysed later than the sample keeps.",
  reference: "The reference material was not recovered within its limits.",
  imbalance: "The charge of this sample does not balance.",
  "below reporting limit": "Detected, but below the reporting limit, which is printed instead.",
  "limits of this trace":
    "What stands beside this ion makes its trace worse than a blank's: the limits of this sample are wider in the same ratio.",
  "blanks-contradict-limits":
    "The blanks of this batch contradict the limits that this result was judged by: whether it is detected is doubtful.",
  "near void": "The peak stands close to the void, where the baseline is least certain.",
  "background above twice the height":
    "The peak stands on a background more than twice its height, mostly the tail of a neighbour.",
  "not quantifiable: background model":
    "Two backgrounds that the record allows give areas too far apart: no content is given. Inject the major alone, dilute, or change the programme.",
  "fit did not settle": "The fit of overlapping peaks did not settle; the area is the best of its attempts.",
};

/** Flags that only say how an area was obtained: shown with the number when asked for, not as a footnote. */
const INFORMATIVE: ReadonlySet<string> = new Set([
  "summation",
  "joint fit",
  "rider fit",
  "fixed window",
  "no peak found",
]);

/** The flags that a reader of the number must know. */
export function cautions(flags: readonly string[]): readonly string[] {
  return flags.filter((flag) => !INFORMATIVE.has(flag));
}

/** A flag as a sentence, the flag itself behind it. */
export function flagWords(flag: string): string {
  return Object.hasOwn(WORDS, flag) ? `${WORDS[flag]} (${flag})` : flag;
}
