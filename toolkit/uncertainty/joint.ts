import { IonbookError } from "../errors.js";
import { requireDof } from "./coverage.js";
import { meanOf, requireFinite, requireUnit } from "./inputs.js";
import { NORMAL, namelessKey, requireName, type Source } from "./source.js";
import { type MeasuredValue, sourcedValue } from "./value.js";

/** Pivots of a covariance matrix below this part of their variance are rounding, not spread. */
const NEGLIGIBLE = 1e-12;

/**
 * Values that were evaluated together and have a known covariance matrix, such as the parameters of one fit. They
 * are written on common sources that are independent of each other (a lower triangular root L of the matrix,
 * L·Lᵀ = covariance: the first source is the first value, the next what is left of the second, and so on), so that
 * any later arithmetic finds their covariances again. All sources belong to one group: whatever is computed from
 * these values alone keeps exactly `dof` degrees of freedom, and Monte Carlo draws a multivariate t.
 *
 * @param values estimates by name
 * @param units one unit for all, or one for each name
 * @param covariance rows and columns in the order of the names, in the products of their units
 * @throws IonbookError "bad-covariance" for a matrix of other size, not symmetric or not positive semidefinite;
 *   "bad-value", "bad-dof", "bad-unit", "bad-source" as for `measured`
 * @source JCGM 100:2008 (GUM), 5.2.2 and F.1.2.3; JCGM 102:2011, 6.4.8.4 and 6.5.4 (multivariate t)
 */
export function fromCovariance<Name extends string>(
  values: Readonly<Record<Name, number>>,
  units: string | Readonly<Record<Name, string>>,
  covariance: readonly (readonly number[])[],
  about: { readonly source?: string; readonly dof?: number } = {},
): Record<Name, MeasuredValue> {
  const { source: base = namelessKey(), dof = Number.POSITIVE_INFINITY } = about;
  requireName(base);
  requireDof(dof);
  const names = Object.keys(values) as Name[];
  const root = triangularRoot(names, covariance);
  const sources = names.map((name, k): Source => {
    const key = k === 0 ? `${base}: ${name}` : `${base}: rest of ${name}`;
    return { key, label: key, u: root[k][k], dof, shape: NORMAL, group: base };
  });
  const results = names.map((name, i): [Name, MeasuredValue] => {
    const unit = typeof units === "string" ? units : units[name];
    requireUnit(unit);
    requireFinite(values[name], `"${name}"`);
    return [name, sourcedValue(values[name], unit, sources.slice(0, i + 1), Float64Array.from(root[i]))];
  });
  return Object.fromEntries(results) as Record<Name, MeasuredValue>;
}

/**
 * Means of several quantities read at the same time, set by set, with the correlations the readings show (type A):
 *
 *     x̄ᵢ = Σₖ xᵢₖ/n        cov(x̄ᵢ, x̄ⱼ) = Σₖ (xᵢₖ − x̄ᵢ)(xⱼₖ − x̄ⱼ) / (n(n − 1))        ν = n − 1
 *
 * @param readings by name; the k-th reading of every name belongs to the k-th set
 * @param units one unit for all, or one for each name
 * @throws IonbookError "unequal-readings" where the lists differ in length; "too-few-readings" for fewer than two
 *   sets; "bad-value", "bad-unit", "bad-source" as for `measured`
 * @source JCGM 100:2008 (GUM), 5.2.3, equation (17), and H.2
 */
export function fromSimultaneousReadings<Name extends string>(
  readings: Readonly<Record<Name, readonly number[]>>,
  units: string | Readonly<Record<Name, string>>,
  about: { readonly source?: string } = {},
): Record<Name, MeasuredValue> {
  const names = Object.keys(readings) as Name[];
  const n = setCount(names, readings);
  const means = names.map((name) => meanOf(readings[name]));
  const deviations = names.map((name, i) => readings[name].map((x) => x - means[i]));
  const covariance = deviations.map((first) =>
    deviations.map((second) => first.reduce((sum, d, k) => sum + d * second[k], 0) / (n * (n - 1))),
  );
  const values = Object.fromEntries(names.map((name, i) => [name, means[i]])) as Record<Name, number>;
  return fromCovariance(values, units, covariance, { ...about, dof: n - 1 });
}

function setCount<Name extends string>(
  names: readonly Name[],
  readings: Readonly<Record<Name, readonly number[]>>,
): number {
  const n = names.length === 0 ? 0 : readings[names[0]].length;
  for (const name of names) {
    if (readings[name].length !== n) {
      throw new IonbookError(
        "unequal-readings",
        `"${name}" has ${readings[name].length} readings and "${names[0]}" has ${n}; simultaneous readings come in sets`,
      );
    }
    readings[name].forEach((x, k) => {
      requireFinite(x, `reading ${k + 1} of "${name}"`);
    });
  }
  if (n < 2) {
    throw new IonbookError(
      "too-few-readings",
      `${n} set${n === 1 ? "" : "s"} of readings cannot show a spread; give at least two`,
    );
  }
  return n;
}

/** L of L·Lᵀ = covariance, row i with i + 1 entries; a pivot that is only rounding becomes an empty column. */
function triangularRoot(names: readonly string[], covariance: readonly (readonly number[])[]): number[][] {
  requireCovariance(names, covariance);
  const root: number[][] = [];
  for (let i = 0; i < names.length; i++) {
    const row: number[] = [];
    for (let k = 0; k <= i; k++) {
      let rest = covariance[i][k];
      for (let m = 0; m < k; m++) rest -= row[m] * (k === i ? row[m] : root[k][m]);
      row.push(k === i ? pivot(rest, covariance[i][i], names[i]) : root[k][k] === 0 ? 0 : rest / root[k][k]);
    }
    root.push(row);
  }
  return root;
}

function pivot(rest: number, variance: number, name: string): number {
  if (rest < -NEGLIGIBLE * variance || variance < 0) {
    throw new IonbookError(
      "bad-covariance",
      `The covariance matrix is not positive semidefinite at "${name}": no set of values can vary like that`,
    );
  }
  return rest <= NEGLIGIBLE * variance ? 0 : Math.sqrt(rest);
}

function requireCovariance(names: readonly string[], covariance: readonly (readonly number[])[]): void {
  const n = names.length;
  if (covariance.length !== n || covariance.some((row) => row.length !== n)) {
    throw new IonbookError("bad-covariance", `${n} values need a covariance matrix of ${n} rows and columns`);
  }
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < n; k++) {
      const scale = Math.sqrt(Math.abs(covariance[i][i] * covariance[k][k]));
      if (!(Math.abs(covariance[i][k] - covariance[k][i]) <= 1e-9 * scale)) {
        throw new IonbookError(
          "bad-covariance",
          `The covariances of "${names[i]}" and "${names[k]}" differ or are no numbers: ${covariance[i][k]} and ${covariance[k][i]}`,
        );
      }
    }
  }
}
