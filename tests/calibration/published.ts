import { readFileSync } from "node:fs";
import { expect } from "vitest";

export interface PublishedCase {
  readonly id: string;
  readonly what: string;
  readonly source: string;
  readonly provenance: string;
  readonly inputs: Record<string, never>;
  readonly expected: Record<string, number | readonly number[] | boolean>;
  readonly tolerance: Tolerance & { readonly per_key?: Record<string, Tolerance> };
}

interface Tolerance {
  readonly abs?: number;
  readonly rel?: number;
}

export function readReference<T>(file: string): T {
  return JSON.parse(readFileSync(new URL(`../reference/${file}`, import.meta.url), "utf8")) as T;
}

/** One case of a reference file. */
export function published(file: string, id: string): PublishedCase {
  const found = readReference<PublishedCase[]>(file).find((each) => each.id === id);
  if (!found) throw new Error(`there is no case ${id} in ${file}`);
  return found;
}

/** A case as the title of its claims: what, source and provenance. */
export function titleOf(of: PublishedCase): string {
  return `${of.what} [${of.source}; ${of.provenance}]`;
}

/** Every value given must meet the case's expectation: |v − e| ≤ max(abs, rel·|e|). */
export function expectPublished(
  of: PublishedCase,
  values: Record<string, number | readonly number[] | boolean>,
) {
  for (const [key, value] of Object.entries(values)) {
    const expected = of.expected[key];
    expect(expected, `${of.id} has no ${key}`).toBeDefined();
    if (typeof expected === "boolean") {
      expect(value, key).toBe(expected);
      continue;
    }
    const { abs = 0, rel = 0 } = of.tolerance.per_key?.[key] ?? of.tolerance;
    const wanted = typeof expected === "number" ? [expected] : expected;
    const found = typeof value === "number" ? [value] : (value as readonly number[]);
    expect(found.length, key).toBe(wanted.length);
    found.forEach((v, i) => {
      const allowed = Math.max(abs, rel * Math.abs(wanted[i]));
      expect(
        Math.abs(v - wanted[i]),
        `${of.id} ${key}[${i}] = ${v}, published ${wanted[i]}`,
      ).toBeLessThanOrEqual(allowed);
    });
  }
}

/** Standards from two columns. */
export function pointsOf(x: readonly number[], y: readonly number[]) {
  return x.map((concentration, i) => ({ concentration, response: y[i] }));
}

/** The code of the IonbookError that a call throws. */
export function codeOf(call: () => unknown): string {
  try {
    call();
  } catch (error) {
    return (error as { code?: string }).code ?? `not an IonbookError: ${String(error)}`;
  }
  return "nothing thrown";
}

/** What a call says when it refuses. */
export function messageOf(call: () => unknown): string {
  try {
    call();
  } catch (error) {
    return (error as Error).message;
  }
  return "nothing thrown";
}
