import { IonbookError } from "../errors.js";
import { exactly, requireFinite, requireUnit } from "./inputs.js";
import { type Source, sameSource } from "./source.js";
import { productUnit, quotientUnit } from "./unit-text.js";
import { isMeasuredValue, type MeasuredValue, sourcedValue } from "./value.js";

/**
 * a + b with all correlations: contributions of a shared source add up with their signs. A bare number takes the
 * other's unit.
 *
 * @throws IonbookError "unit-mismatch" where the units differ; "bad-value" for a number that is not finite
 * @source JCGM 100:2008 (GUM), 5.1.2 and 5.2.2
 */
export function plus(a: MeasuredValue | number, b: MeasuredValue | number): MeasuredValue {
  const [first, second, unit] = ofOneUnit(a, b, "add");
  return combined(first.value + second.value, unit, first, 1, second, 1);
}

/**
 * a − b with all correlations: `minus(a, a)` is exactly 0 ± 0. A bare number takes the other's unit.
 *
 * @throws IonbookError "unit-mismatch" where the units differ; "bad-value" for a number that is not finite
 * @source JCGM 100:2008 (GUM), 5.1.2 and 5.2.2
 */
export function minus(a: MeasuredValue | number, b: MeasuredValue | number): MeasuredValue {
  const [first, second, unit] = ofOneUnit(a, b, "subtract");
  return combined(first.value - second.value, unit, first, 1, second, -1);
}

/**
 * a·b to first order with all correlations: contributions c = b·c_a + a·c_b. Unit texts combine, "1" being
 * neutral; a bare number has the unit "1".
 *
 * @throws IonbookError "bad-value" for a number that is not finite
 * @source JCGM 100:2008 (GUM), 5.1.2 and 5.2.2
 */
export function times(a: MeasuredValue | number, b: MeasuredValue | number): MeasuredValue {
  const [first, second] = [lifted(a), lifted(b)];
  const unit = productUnit(first.unit, second.unit);
  return combined(first.value * second.value, unit, first, second.value, second, first.value);
}

/**
 * a/b to first order with all correlations: contributions c = c_a/b − (a/b)·c_b/b; `over(a, a)` is exactly 1 ± 0.
 * Unit texts combine, "1" being neutral; a bare number has the unit "1".
 *
 * Trustworthy while u(b) stays small beside b (below about 10 %); beyond, use `monteCarlo`.
 *
 * @throws IonbookError "division-by-zero" where b is 0; "bad-value" for a number that is not finite
 * @source JCGM 100:2008 (GUM), 5.1.2 and 5.2.2
 */
export function over(a: MeasuredValue | number, b: MeasuredValue | number): MeasuredValue {
  const [first, second] = [lifted(a), lifted(b)];
  if (second.value === 0) {
    throw new IonbookError(
      "division-by-zero",
      `${first.value} ${first.unit} cannot be divided by a value of 0`,
    );
  }
  const ratio = first.value / second.value;
  const unit = quotientUnit(first.unit, second.unit);
  return combined(ratio, unit, first, 1 / second.value, second, -ratio / second.value);
}

/**
 * Σ factor·value in one pass over all sources, with correlations: for sums of many results. The unit is the one
 * given, because the factors may carry units of their own.
 *
 * @throws IonbookError "bad-value" for a factor that is not finite; "bad-unit" for an empty unit
 * @source JCGM 100:2008 (GUM), 5.1.2 and 5.2.2
 */
export function combineLinear(
  terms: readonly { readonly value: MeasuredValue; readonly factor: number }[],
  unit: string,
): MeasuredValue {
  requireUnit(unit);
  let total = 0;
  for (const { value, factor } of terms) {
    requireFinite(factor, "a factor of the sum");
    total += factor * value.value;
  }
  return gathered(total, unit, terms);
}

/** A value whose contributions are Σ factor·contribution over the terms; its `value` is computed by the caller. */
export function gathered(
  value: number,
  unit: string,
  terms: readonly { readonly value: MeasuredValue; readonly factor: number }[],
): MeasuredValue {
  const index = new Map<string, number>();
  const sources: Source[] = [];
  const contributions: number[] = [];
  for (const { value: term, factor } of terms) {
    for (let i = 0; i < term.sources.length; i++) {
      const source = term.sources[i];
      const c = factor * term.contributions[i];
      const at = index.get(source.key);
      if (at === undefined) {
        index.set(source.key, sources.length);
        sources.push(source);
        contributions.push(c);
      } else {
        sources[at] = sameSource(sources[at], source);
        contributions[at] += c;
      }
    }
  }
  return sourcedValue(value, unit, sources, Float64Array.from(contributions));
}

function combined(
  value: number,
  unit: string,
  a: MeasuredValue,
  factorA: number,
  b: MeasuredValue,
  factorB: number,
): MeasuredValue {
  // Scaling by a plain number, and two values of the same sources, need no search for common sources.
  if (b.sources.length === 0) return scaled(value, unit, a, factorA);
  if (a.sources.length === 0) return scaled(value, unit, b, factorB);
  if (a.sources === b.sources) {
    const contributions = a.contributions.map((c, i) => factorA * c + factorB * b.contributions[i]);
    return sourcedValue(value, unit, a.sources, contributions);
  }
  return gathered(value, unit, [
    { value: a, factor: factorA },
    { value: b, factor: factorB },
  ]);
}

function scaled(value: number, unit: string, a: MeasuredValue, factor: number): MeasuredValue {
  return sourcedValue(
    value,
    unit,
    a.sources,
    a.contributions.map((c) => factor * c),
  );
}

function lifted(x: MeasuredValue | number): MeasuredValue {
  if (typeof x === "number") return exactly(x);
  requireQuantity(x);
  return x;
}

function requireQuantity(x: unknown): void {
  if (isMeasuredValue(x)) return;
  throw new IonbookError(
    "bad-input",
    `Calculations take measured values and numbers, not ${typeof x === "string" ? `the text "${x}"` : String(x)}: ` +
      'plus(measured(12.4, "mg/L", { u: 0.2 }), 0.5)',
  );
}

function ofOneUnit(
  a: MeasuredValue | number,
  b: MeasuredValue | number,
  verb: string,
): [MeasuredValue, MeasuredValue, string] {
  if (typeof a === "number") {
    const second = lifted(b);
    return [exactly(a, second.unit), second, second.unit];
  }
  requireQuantity(a);
  if (typeof b === "number") return [a, exactly(b, a.unit), a.unit];
  requireQuantity(b);
  if (a.unit !== b.unit) {
    throw new IonbookError(
      "unit-mismatch",
      `Cannot ${verb} values in "${a.unit}" and "${b.unit}"; convert one of them first: inUnit(value, "${a.unit}", "chloride")`,
    );
  }
  return [a, b, a.unit];
}
