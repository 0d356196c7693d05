import type { BalanceDiagnosis } from "./diagnosis-types.js";
import type { DiagnosedChange } from "./hypothesis.js";

const TOLD = 5;

/** "nitrate 4.07 → 18.0 mg/L (times 4.43)". */
export function changeText({ what, from, to, unit, factor }: DiagnosedChange): string {
  if (from === undefined || to === undefined) return what;
  const amount =
    from === 0 ? `${what} ${digits(to)} ${unit}` : `${what} ${digits(from)} → ${digits(to)} ${unit}`;
  if (factor === undefined) return amount;
  return factor >= 1 ? `${amount} (times ${digits(factor)})` : `${amount} (divided by ${digits(1 / factor)})`;
}

/** What a diagnosis says without a picture. */
export function diagnosisText(diagnosis: BalanceDiagnosis): string {
  const { sample, raised, reported, measured, hypotheses, unexplained } = diagnosis;
  const { conductivityRatio, percentDifference, uPercent } = reported;
  const kappa =
    conductivityRatio === undefined || measured.conductivity === undefined
      ? "conductivity not measured: charge alone tells few causes apart"
      : `computed conductivity ${digits(100 * conductivityRatio)} % of ${digits(measured.conductivity)} µS/cm`;
  const head = sample === "" ? "" : `${sample}: `;
  const lines = [
    `${head}${raised ? "something does not fit" : "no fault is raised"}; nothing wrong: ${percent(reported.probability)}`,
    `difference ${signedPercent(percentDifference)} ± ${digits(uPercent, 2)} (u), ${kappa}`,
  ];
  if (!raised) return lines.join("\n");
  lines.push(
    ...hypotheses
      .slice(0, TOLD)
      .map(
        ({ cause, probability, chiSquared, changeWords, next }, i) =>
          `  ${i + 1}. ${cause}, ${percent(probability)}, χ² ${digits(chiSquared, 2)}: ${changeWords}; ${next}`,
      ),
  );
  if (unexplained > 0.01) lines.push(`  something else: ${percent(unexplained)}`);
  lines.push("hints what to check: nothing is corrected");
  return lines.join("\n");
}

function percent(probability: number): string {
  if (probability > 0.995) return "over 99 %";
  return probability < 0.01 ? "below 1 %" : `${Math.round(100 * probability)} %`;
}

function signedPercent(value: number): string {
  return `${value > 0 ? "+" : ""}${digits(value, 2)} %`;
}

function digits(value: number, figures = 3): string {
  return String(Number(value.toPrecision(figures)));
}
