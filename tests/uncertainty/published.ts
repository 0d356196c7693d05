import { readFileSync } from "node:fs";
import { expect } from "vitest";

interface PublishedCase {
  readonly id: string;
  readonly what: string;
  readonly source: string;
  readonly provenance: string;
  // biome-ignore lint/suspicious/noExplicitAny: every case has inputs of its own form
  readonly inputs: any;
  // biome-ignore lint/suspicious/noExplicitAny: every case has expected values of its own form
  readonly expected: any;
  readonly tolerance: {
    readonly abs?: number;
    readonly rel?: number;
    readonly per_key?: Record<string, Bounds>;
  };
}

interface Bounds {
  readonly abs?: number;
  readonly rel?: number;
}

const file = new URL("../reference/t06_uncertainty.json", import.meta.url);
const cases: readonly PublishedCase[] = JSON.parse(readFileSync(file, "utf8"));

/** A published case by its id, with a title that names its source and how we came by it. */
export function published(id: string) {
  const found = cases.find((one) => one.id === id);
  if (!found) throw new Error(`no published case "${id}"`);
  return { ...found, title: `${found.what} [${found.source}; ${found.provenance}]` };
}

export const publishedIds: readonly string[] = cases.map(({ id }) => id);

/** Asserts that a figure (or list of figures) meets the expected one of this key within the case's own tolerance. */
export function expectPublished(one: PublishedCase, key: string, got: number | readonly number[]): void {
  const { abs = 0, rel = 0 }: Bounds = one.tolerance.per_key?.[key] ?? one.tolerance;
  const want = [one.expected[key]].flat();
  const have = [got].flat();
  expect(have.length, key).toBe(want.length);
  want.forEach((w, i) => {
    const allowed = Math.max(abs, rel * Math.abs(w));
    expect(Math.abs(have[i] - w), `${key}[${i}]: ${have[i]} instead of ${w}`).toBeLessThanOrEqual(allowed);
  });
}
