import { describe, expect, it } from "vitest";
import { figuresRows } from "./rows/figures.js";
import { identityRows } from "./rows/identity.js";
import { retentionRows } from "./rows/retention.js";
import { slopeCheckRows } from "./rows/slope-check.js";
import { unknownEquivalentsRows } from "./rows/unknown-equivalents.js";
import { rowTable } from "./scenes/table.js";

describe("rows of the handbook's scoring table beside areas", () => {
  it.each([
    ["figures", figuresRows],
    ["retention", retentionRows],
    ["unknown equivalents", unknownEquivalentsRows],
    ["slope check", slopeCheckRows],
    ["identity", identityRows],
  ] as const)("%s meet the accept column", (name, rowsOf) => {
    const before = process.cpuUsage();
    const rows = rowsOf("full");
    const { user, system } = process.cpuUsage(before);
    console.log(`\n${rowTable(name, rows)}\n${((user + system) / 1e6).toFixed(1)} s of processor time\n`);
    expect(rows.filter(({ pass }) => pass === false)).toEqual([]);
  });
});
