import { describe, expect, it } from "vitest";
import { coverageRows, scoreRows } from "./rows.js";
import { FULL, runScenes } from "./run-scenes.js";
import { scenesTable } from "./table.js";

describe("scenes of known truth", () => {
  it("meet the accept column of the handbook and hold the truth in their intervals", () => {
    const before = process.cpuUsage();
    const scenes = runScenes(FULL);
    const { user, system } = process.cpuUsage(before);
    console.log(`\n${scenesTable(scenes)}\n\n${((user + system) / 1e6).toFixed(0)} s of processor time\n`);
    const rows = [...scoreRows(scenes), ...coverageRows(scenes)];
    expect(rows.filter(({ pass }) => pass === false)).toEqual([]);
  });
});
