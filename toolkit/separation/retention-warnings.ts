/** Strengths closer together than this do not tell b. */
const LEAST_SPAN = 1.5;
/** A slope this far from the charge makes one think of swapped names. */
const FAR_FROM_CHARGE = 0.25;

/** What makes a fitted retention model doubtful, in sentences. */
export function retentionWarnings(
  ions: Readonly<Record<string, { readonly b: number; readonly uB: number }>>,
  [weakest, strongest]: readonly [number, number],
  chargeOf: (name: string) => number | undefined,
  runs: number,
): readonly string[] {
  const warnings: string[] = [];
  if (strongest < LEAST_SPAN * weakest) {
    warnings.push(
      `the runs span only ${weakest.toPrecision(3)} to ${strongest.toPrecision(3)} mmol/L: scout strengths three times apart, or b stays poor`,
    );
  }
  for (const [name, { b, uB }] of Object.entries(ions)) {
    const charge = chargeOf(name);
    if (charge === undefined || Math.abs(b - charge) < FAR_FROM_CHARGE * charge + 2 * uB) continue;
    warnings.push(
      `${name}: b = ${b.toFixed(2)} with a charge of ${charge}: are the names of two ions swapped in one of the ${runs} runs?`,
    );
  }
  return warnings;
}
