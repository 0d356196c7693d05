import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, realpathSync, rmSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import * as danfo from "danfojs-node";
import { afterAll, describe, expect, it } from "vitest";

const root = fileURLToPath(new URL("../..", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "danfo-lean-"));
afterAll(() => rmSync(folder, { recursive: true }));

/** Invented figures, chosen so that every expected value below can be worked out by hand. */
const wells = () =>
  new danfo.DataFrame({
    well: ["A", "A", "B", "B"],
    ion: ["chloride", "nitrate", "chloride", "nitrate"],
    value: [10, 2, 30, 4],
  });

describe("danfojs in its lean form", () => {
  it("groups rows and takes sums, means and sample deviations of the groups", () => {
    const sums = wells().groupby(["well"]).col(["value"]).sum();
    expect(sums.values).toEqual([
      ["A", 12],
      ["B", 34],
    ]);
    const spread = wells()
      .groupby(["well"])
      .agg({ value: ["mean", "std"] });
    expect(spread.columns).toEqual(["well", "value_mean", "value_std"]);
    // Two values have the standard deviation |a − b| / √2.
    expect(spread.values).toEqual([
      ["A", 6, expect.closeTo(8 / Math.SQRT2, 12)],
      ["B", 17, expect.closeTo(26 / Math.SQRT2, 12)],
    ]);
  });

  it("merges two frames on a column and leaves out what only one of them knows", () => {
    const depths = new danfo.DataFrame({ well: ["B", "C"], depth: [21, 35] });
    const merged = danfo.merge({ left: wells(), right: depths, on: ["well"], how: "inner" });
    expect(merged.columns).toEqual(["well", "ion", "value", "depth"]);
    expect(merged.values).toEqual([
      ["B", "chloride", 30, 21],
      ["B", "nitrate", 4, 21],
    ]);
  });

  it("writes a CSV file and reads the same frame back", async () => {
    const path = join(folder, "wells.csv");
    danfo.toCSV(wells(), { filePath: path });
    expect(readFileSync(path, "utf8").split("\n").slice(0, 2)).toEqual(["well,ion,value", "A,chloride,10"]);
    const back = await danfo.readCSV(path);
    expect(back.columns).toEqual(wells().columns);
    expect(back.values).toEqual(wells().values);
  });

  it("computes with whole frames, row by row and column by column", () => {
    const frame = new danfo.DataFrame([
      [1, 20],
      [3, 40],
    ]);
    expect((frame.mul(2) as danfo.DataFrame).values).toEqual([
      [2, 40],
      [6, 80],
    ]);
    expect((frame.sub(new danfo.Series([1, 20]), { axis: 1 }) as danfo.DataFrame).values).toEqual([
      [0, 0],
      [2, 20],
    ]);
    // danfojs counts axis 0 as column by column.
    expect(frame.mean({ axis: 0 }).values).toEqual([2, 30]);
    expect(frame.mean({ axis: 1 }).values).toEqual([10.5, 21.5]);
    const values = wells().column("value");
    expect([values.sum(), values.mean(), values.median(), values.min(), values.max()]).toEqual([
      46, 11.5, 7, 2, 30,
    ]);
    expect(values.gt(3).values).toEqual([true, false, true, true]);
  });

  it("scales columns: to 0…1, and to mean 0 with population deviation 1", () => {
    const scaled = new danfo.MinMaxScaler().fitTransform(wells().column("value"));
    expect(scaled.values).toEqual([8 / 28, 0, 1, 2 / 28]);
    const frame = new danfo.DataFrame([
      [1, 20],
      [3, 40],
    ]);
    expect(new danfo.StandardScaler().fitTransform(frame).values).toEqual([
      [-1, -1],
      [1, 1],
    ]);
  });

  it("draws the same rows for the same seed, evenly over many, and anew for the next one", async () => {
    const drawn = async (seed: number) =>
      ((await wells().sample(2, { seed })) as danfo.DataFrame).index.join("");
    expect(await drawn(7)).toBe(await drawn(7));
    const pairs = await Promise.all(Array.from({ length: 1200 }, (_, i) => drawn(i + 1)));
    const counts = new Map<string, number>();
    for (const pair of pairs) counts.set(pair, (counts.get(pair) ?? 0) + 1);
    expect(counts.size).toBe(12);
    // 12 ordered pairs, 100 expected of each; χ² with 11 degrees of freedom stays below 31.3 with 99.9 % probability.
    const chiSquared = [...counts.values()].reduce((sum, n) => sum + (n - 100) ** 2 / 100, 0);
    expect(chiSquared).toBeLessThan(31.3);
    // One neighbour in twelve agrees by chance: 100 of 1199, standard deviation 9.6; four of them to either side.
    const alike = pairs.filter((pair, i) => i > 0 && pair === pairs[i - 1]).length;
    expect(alike).toBeGreaterThan(61);
    expect(alike).toBeLessThan(139);
  });
});

describe("what the lean form leaves out", () => {
  it("says so: tables from the network", async () => {
    await expect(danfo.readCSV("https://example.invalid/wells.csv")).rejects.toThrow(/download the file/);
  });

  it("says so: writing and reading Excel files", () => {
    expect(() => danfo.toExcel(wells(), { filePath: join(folder, "wells.xlsx") })).toThrow(
      /save the sheet as CSV/,
    );
    expect(existsSync(join(folder, "wells.xlsx"))).toBe(false);
    // danfojs opens the file in a callback of its own, from where no promise can carry the fault: a script ends with it.
    const script = 'import { readExcel } from "danfojs-node"; await readExcel("package.json");';
    const run = spawnSync(process.execPath, ["--input-type=module", "-e", script], {
      cwd: root,
      encoding: "utf8",
    });
    expect(run.status).not.toBe(0);
    expect(run.stderr).toMatch(/save the sheet as CSV/);
  });

  it("says so: tensors for anything but tables", () => {
    const tensors = danfo.tensorflow as { readonly layers?: unknown };
    expect(() => tensors.layers).toThrow(/"layers" is not part of this build/);
  });

  it("leaves a few megabytes with everything below it", () => {
    const packages = closure("danfojs-node", root);
    expect([...packages].some((path) => path.endsWith(join("vendor", "tfjs-node")))).toBe(true);
    const bytes = [...packages].reduce((sum, path) => sum + sizeOf(path), 0);
    expect(bytes).toBeGreaterThan(500e3);
    expect(bytes).toBeLessThan(8e6);
  });
});

/** Folders of a package and of all it depends on, links followed. */
function closure(name: string, from: string, seen = new Set<string>()): ReadonlySet<string> {
  const path = realpathSync(packageFolder(name, from));
  if (seen.has(path)) return seen;
  seen.add(path);
  const manifest = JSON.parse(readFileSync(join(path, "package.json"), "utf8")) as { dependencies?: object };
  for (const dependency of Object.keys(manifest.dependencies ?? {})) closure(dependency, path, seen);
  return seen;
}

function packageFolder(name: string, from: string): string {
  const paths = createRequire(join(from, "package.json")).resolve.paths(name) ?? [];
  const found = paths.map((modules) => join(modules, name)).find((path) => existsSync(path));
  if (!found) throw new Error(`${name}, needed by ${dirname(from)}, is not installed`);
  return found;
}

/** Bytes of a folder without the packages installed inside it. */
function sizeOf(path: string): number {
  const info = statSync(path);
  if (!info.isDirectory()) return info.size;
  return readdirSync(path)
    .filter((entry) => entry !== "node_modules")
    .reduce((sum, entry) => sum + sizeOf(join(path, entry)), 0);
}
