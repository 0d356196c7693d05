import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { type MeasuredValue, propagate } from "../../uncertainty/measured.js";

/** A standard close to the sample. */
export interface NearStandard {
  readonly concentration: MeasuredValue;
  readonly response: MeasuredValue;
}

/** Standards lie within this of the sample, relative. */
const NEAR = 0.2;

/**
 * Concentration of a reading between a weaker and a stronger standard:
 *
 *     x = x₁ + (y − y₁)(x₂ − x₁)/(y₂ − y₁)
 *
 * with the correlations of what is given. Unit of the standards; responses in any one unit. Only for standards close to
 * the sample, where any curve is straight.
 *
 * @throws IonbookError "outside-bracket" for a reading that lies not between the standards', "bracket-too-wide" for
 *   standards farther than `within` from the result, "falling-line", "unit-mismatch", "bad-option", "unknown-option"
 * @source bracketing within 20 %: common practice, no source
 */
export function betweenStandards(
  reading: MeasuredValue,
  weaker: NearStandard,
  stronger: NearStandard,
  options: { /** @default 0.2 */ readonly within?: number } = {},
): MeasuredValue {
  requireKnownOptions(options, { within: true }, "betweenStandards");
  const { within = NEAR } = options;
  if (!(within > 0 && within < Number.POSITIVE_INFINITY)) {
    throw new IonbookError(
      "bad-option",
      `within is ${within}; give a part of the result above 0, 0.2 for 20 %`,
    );
  }
  const [x1, y1, x2, y2, y] = [
    weaker?.concentration,
    weaker?.response,
    stronger?.concentration,
    stronger?.response,
    reading,
  ];
  for (const each of [x1, y1, x2, y2, y]) {
    if (each?.kind === "measured-value") continue;
    throw new IonbookError(
      "bad-option",
      "betweenStandards takes measured values: betweenStandards(reading, { concentration, response }, { concentration, response })",
    );
  }
  if (x1.unit !== x2.unit) {
    throw new IonbookError("unit-mismatch", `One standard is in ${x1.unit}, the other in ${x2.unit}`);
  }
  if (!(x2.value > x1.value && y2.value > y1.value)) {
    throw new IonbookError("falling-line", "The stronger standard comes second and has the larger response");
  }
  if (y.value < y1.value || y.value > y2.value) {
    throw new IonbookError(
      "outside-bracket",
      `The reading ${y.value} lies not between ${y1.value} and ${y2.value}: take standards on either side of the sample`,
    );
  }
  const found = propagate(
    (v) => v.x1 + ((v.y - v.y1) * (v.x2 - v.x1)) / (v.y2 - v.y1),
    { x1, y1, x2, y2, y },
    x1.unit,
  );
  const farthest = Math.max(1 - x1.value / found.value, x2.value / found.value - 1);
  if (farthest <= within * (1 + 1e-9)) return found;
  throw new IonbookError(
    "bracket-too-wide",
    `A standard lies ${(100 * farthest).toFixed(0)} % from the result ${found.value.toPrecision(4)} ${x1.unit}; within ${100 * within} % is wanted`,
  );
}
