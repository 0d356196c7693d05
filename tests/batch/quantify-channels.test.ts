import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, it } from "vitest";
import { quantify } from "../../toolkit/batch/quantify/quantify.js";
import { alignRun, type ReferenceTime, UNALIGNED } from "../../toolkit/batch/quantify/retention.js";
import { openBatch } from "../../toolkit/batch/reading/open-batch.js";
import type { Results } from "../../toolkit/batch/types.js";
import { correlation } from "../../toolkit/uncertainty/measured.js";
import { DEMO_FOLDER as DATA, demoResults } from "./demo-results.js";

// The demonstration data (invented), copied so that both folders call their injections R001, R002, …
const place = mkdtempSync(join(tmpdir(), "ionbook-same-ids-"));
afterAll(() => rmSync(place, { recursive: true, force: true }));

function withSharedIds(channel: "anions" | "cations", letter: string): string {
  const folder = join(place, channel);
  cpSync(join(DATA, channel), folder, { recursive: true });
  const file = join(folder, "worksheet.csv");
  const ids = new RegExp(`(?<![A-Za-z0-9/])${letter}(\\d{3})(?![\\d.])`, "g");
  writeFileSync(file, readFileSync(file, "utf8").replace(ids, "R$1"));
  return folder;
}

let original: Results;
let shared: Results;
beforeAll(async () => {
  original = await demoResults();
  const folders = [withSharedIds("anions", "A"), withSharedIds("cations", "C")];
  shared = await quantify(await Promise.all(folders.map(openBatch)));
}, 60_000);

it("the same injection ids in both folders lose no trace and change no number", () => {
  expect(new Set(shared.peaks.map((p) => p.injection.slice(0, 1)))).toEqual(new Set(["R"]));
  expect(shared.traces.size).toBe(original.traces.size);
  expect(shared.samples.map((r) => [r.value?.value, r.value?.u])).toEqual(
    original.samples.map((r) => [r.value?.value, r.value?.u]),
  );
  expect(shared.balances.map((b) => [b.percentDifference.u, b.unknownAnions?.value])).toEqual(
    original.balances.map((b) => [b.percentDifference.u, b.unknownAnions?.value]),
  );
});

it("results of the two channels share neither an injection nor a standard's own flask", () => {
  const of = (ion: string) =>
    shared.samples.find((r) => r.sample === "well 3 (12 Mar)" && r.ion === ion)?.value;
  const [chloride, sodium] = [of("chloride"), of("sodium")];
  if (!chloride || !sodium) throw new Error("the demonstration data hold chloride and sodium in well 3");
  expect(correlation(chloride, sodium)).toBeCloseTo(0, 12);
});

it("a jump that the shift search has found is kept by the alignment, also with two ions", () => {
  const ion = (time: number): ReferenceTime => ({
    ion: String(time),
    charge: 1,
    time,
    shiftPerArea: 0,
    scatter: 1.5e-3,
    readings: 9,
  });
  const jump = { common: -0.025, perCharge: 0 };
  const pairs = [5, 9].map((time) => ({
    ion: ion(time),
    peak: { time: time * Math.exp(jump.common), uTime: 1e-3, height: 1, area: 0.1 },
  }));
  const fromPrior = alignRun(pairs, UNALIGNED).common;
  const fromFound = alignRun(pairs, UNALIGNED, jump).common;
  expect(Math.abs(fromFound - jump.common)).toBeLessThan(0.006);
  expect(Math.abs(fromFound - jump.common)).toBeLessThan(Math.abs(fromPrior - jump.common));
});
