// The small size of the rows that tests/score/rows.test.ts measures in full (handbook of the laboratory, simulator §6).
import { describe, expect, it } from "vitest";
import { figuresRows } from "../score/rows/figures.js";
import { identityRows } from "../score/rows/identity.js";
import { retentionRows } from "../score/rows/retention.js";
import { slopeCheckRows } from "../score/rows/slope-check.js";
import { unknownEquivalentsRows } from "../score/rows/unknown-equivalents.js";
import { rowTable } from "../score/scenes/table.js";

describe("rows of the scoring table, small", () => {
  it.each([
    ["figures of peaks on noisy drifting records", figuresRows],
    ["retention times of a programme that was not run", retentionRows],
    ["equivalents of unidentified anions", unknownEquivalentsRows],
    ["slips of standards named by their slopes", slopeCheckRows],
    ["names given to peaks over drifting batches", identityRows],
  ] as const)("%s meet the accept column", (name, rowsOf) => {
    const rows = rowsOf("small");
    expect(rows.length).toBeGreaterThan(0);
    expect(
      rows.filter(({ pass }) => pass !== true),
      rowTable(name, rows),
    ).toEqual([]);
  });
});
