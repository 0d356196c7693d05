import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { FLOORS, floorViolations, readSources } from "./floors.js";

const sources = readSources(fileURLToPath(new URL("../../toolkit", import.meta.url)));

describe("the floors of the toolkit", () => {
  it("are kept by every source file", () => {
    expect(Object.keys(sources).length).toBeGreaterThan(100);
    expect(Object.keys(sources)).toContain("batch/quantify/quantify.ts");
    expect(floorViolations(sources)).toEqual([]);
  });

  it("have a place for every room that holds sources", () => {
    const known = new Set([...FLOORS.flat(), "index.ts", "kernel"]);
    const rooms = new Set(Object.keys(sources).map((file) => file.split("/")[0]));
    expect([...rooms].filter((room) => !known.has(room ?? ""))).toEqual([]);
  });
});

describe("the guard of the floors", () => {
  it("reads the rooms and the face, not what is built, borrowed or installed", () => {
    const toolkit = mkdtempSync(join(tmpdir(), "floors-"));
    const files = ["index.ts", "ions/a.ts", "ions/deep/b.ts", "ions/c.d.ts", "ions/README.md"];
    const others = ["bin/d.ts", "vendor/e/f.ts", "dist/ions/a.ts", "node_modules/g/h.ts"];
    for (const file of [...files, ...others]) {
      mkdirSync(dirname(join(toolkit, file)), { recursive: true });
      writeFileSync(join(toolkit, file), "");
    }
    const read = Object.keys(readSources(toolkit)).sort();
    rmSync(toolkit, { recursive: true });
    expect(read).toEqual(["index.ts", "ions/a.ts", "ions/deep/b.ts"]);
  });

  it("reports an upward import with room and file, also of a type only or loaded late", () => {
    for (const text of [
      'import { a } from "../batch/a.js";',
      'import type { A } from "../batch/a.js";',
      'export { a } from "../batch/a.js";',
      'const late = () => import("../batch/a.js");',
    ]) {
      expect(floorViolations({ "signal/noise.ts": text, "batch/a.ts": "" })).toEqual([
        "signal: signal/noise.ts imports batch/a.ts: upward, from floor 3 (signal) to floor 6 (batch)",
      ]);
    }
  });

  it("reports a sideways import", () => {
    expect(floorViolations({ "water/a.ts": 'import "../signal/b.js";', "signal/b.ts": "" })).toEqual([
      "water: water/a.ts imports signal/b.ts: sideways, on floor 3 (water to signal)",
    ]);
  });

  it("reports a circle of files within a room", () => {
    const circle = {
      "ions/a.ts": 'import "./b.js";',
      "ions/b.ts": 'import "./c.js";',
      "ions/c.ts": 'import "./a.js";',
    };
    expect(floorViolations(circle)).toEqual(["ions: circle ions/a.ts → ions/b.ts → ions/c.ts → ions/a.ts"]);
  });

  it("lets nobody but show and the face use simulation, and nobody but the command use the face", () => {
    const use = 'import "../simulation/s.js";';
    const faults = floorViolations({
      "batch/a.ts": use,
      "show/b.ts": use,
      "index.ts": 'import "./simulation/s.js";',
      "command/c.ts": 'import "../index.js";',
      "notebook/d.ts": 'import "../index.js";',
      "simulation/s.ts": "",
    });
    expect(faults).toEqual([
      "batch: batch/a.ts imports simulation/s.ts: simulation is for the face and show only",
      "notebook: notebook/d.ts imports index.ts: upward, to the face of the package",
    ]);
  });

  it("keeps the kernel apart from every room and lets downward imports pass", () => {
    expect(floorViolations({ "kernel/a.ts": 'import "../errors.js";' })).toHaveLength(1);
    expect(floorViolations({ "signal/a.ts": 'import "../errors.js"; import "../numeric/b.js";' })).toEqual(
      [],
    );
  });
});
