import { readFileSync } from "node:fs";

/** One published case: what it is, where it comes from, what goes in and what must come out. */
export interface PublishedCase {
  readonly id: string;
  readonly what: string;
  readonly source: string;
  readonly provenance: string;
  readonly inputs: Readonly<Record<string, unknown>>;
  readonly expected: Readonly<Record<string, unknown>>;
  readonly tolerance: Tolerance & { readonly per_key?: Readonly<Record<string, Tolerance>> };
}

interface Tolerance {
  readonly abs?: number;
  readonly rel?: number;
}

export function readReference<T>(file: string): T {
  return JSON.parse(readFileSync(new URL(`../reference/${file}`, import.meta.url), "utf8")) as T;
}

export function publishedCases(file: string): readonly PublishedCase[] {
  return readReference<readonly PublishedCase[]>(file);
}

export function publishedCase(file: string, id: string): PublishedCase {
  const found = publishedCases(file).find((each) => each.id === id);
  if (found === undefined) throw new Error(`there is no case ${id} in ${file}`);
  return found;
}

/** A claim's origin, for its title. */
export function originOf(of: PublishedCase): string {
  return `${of.source}; ${of.provenance}`;
}

/** The largest |v − e| that the case allows for this key. */
export function allowance(of: PublishedCase, key: string, expected: number): number {
  const { abs = 0, rel = 0 } = { ...of.tolerance, ...of.tolerance.per_key?.[key] };
  return Math.max(abs, rel * Math.abs(expected));
}

/** Correct significant digits, −log₁₀ of the relative error (of the absolute one where 0 is expected), at most 16. */
export function digits(value: number, expected: number): number {
  const error = Math.abs(value - expected) / (expected === 0 ? 1 : Math.abs(expected));
  return error === 0 ? 16 : Math.min(16, -Math.log10(error));
}

export function fewestDigits(values: readonly number[], expected: readonly number[]): number {
  return Math.min(...expected.map((each, i) => digits(values[i], each)));
}
