import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import { glasshouseScenario } from "../../toolkit/simulation/glasshouse-scenario.js";
import { kelpScenario } from "../../toolkit/simulation/kelp-scenario.js";
import { roadSaltScenario } from "../../toolkit/simulation/road-salt-scenario.js";
import { type SimulatedBatch, simulateBatch } from "../../toolkit/simulation/simulate-batch.js";
import { SIMULATION_VERSION } from "../../toolkit/simulation/truth.js";

const STORIES = [
  { name: "road-salt-in-wells", scenario: roadSaltScenario },
  { name: "glasshouse-drain", scenario: glasshouseScenario },
  { name: "kelp-extracts", scenario: kelpScenario },
];

/** Values of the second column of a signal file. */
function readings(text: string): readonly number[] {
  return text
    .trimEnd()
    .split("\n")
    .slice(1)
    .map((line) => Number(line.slice(line.indexOf(",") + 1)));
}

function bytesBelow(path: string): number {
  return readdirSync(path, { withFileTypes: true }).reduce(
    (sum, entry) =>
      sum +
      (entry.isDirectory() ? bytesBelow(join(path, entry.name)) : statSync(join(path, entry.name)).size),
    0,
  );
}

describe.each(STORIES)("the demo data of $name", ({ name, scenario }) => {
  const folder = fileURLToPath(new URL(`../../datasets/${name}`, import.meta.url));
  const stored = (path: string): string => readFileSync(join(folder, path), "utf8");
  let batch: SimulatedBatch;
  beforeAll(() => {
    batch = simulateBatch(scenario(), { seed: 1 });
  }, 60_000);

  it("are what seed 1 gives: tables to the letter, signals within one step of the digitiser", () => {
    for (const { folder: channel, files } of batch.channels) {
      expect(readdirSync(join(folder, channel, "signals"))).toHaveLength(files.size - 4);
      // exp and log may differ in the last bit between engines, which can turn a rounding over.
      const step = channel === "anions" ? 1e-5 : 0.01;
      for (const [path, content] of files) {
        if (!path.startsWith("signals/")) {
          expect(stored(join(channel, path)), path).toBe(content);
          continue;
        }
        const [now, then] = [readings(content), readings(stored(join(channel, path)))];
        expect(then).toHaveLength(now.length);
        const most = now.reduce((worst, y, i) => Math.max(worst, Math.abs(y - then[i])), 0);
        expect(most, path).toBeLessThan(1.5 * step);
      }
    }
  });

  it("lie beside a truth of the same seed and version of the generator", () => {
    const truth = JSON.parse(stored("truth.json"));
    expect(truth).toMatchObject({
      seed: 1,
      invented: true,
      generator: `ionbook simulation ${SIMULATION_VERSION}`,
    });
    expect(truth.samples).toEqual(JSON.parse(JSON.stringify(batch.truth.samples)));
  });

  it("stay below 15 MB and say that they are invented", () => {
    expect(bytesBelow(folder)).toBeLessThan(15e6);
    expect(stored("README.md")).toMatch(/invented/i);
    expect(stored("README.md")).toContain(`generator version ${SIMULATION_VERSION}`);
  });
});

it("the glasshouse story refuses an option it does not know, and a detector that shows no level straight", () => {
  expect(() => glasshouseScenario({ bend: 1000 } as never)).toThrow(
    expect.objectContaining({ code: "unknown-option" }),
  );
  expect(() => glasshouseScenario({ detectorBend: 10 })).toThrow(
    expect.objectContaining({ code: "bad-bend" }),
  );
});

it("the kelp story refuses an option it does not know, and amounts that do not fit it", () => {
  expect(() => kelpScenario({ polyanion: 1 } as never)).toThrow(
    expect.objectContaining({ code: "unknown-option" }),
  );
  for (const amount of [-0.1, 3.1, Number.NaN, "1" as never]) {
    expect(() => kelpScenario({ organicAnions: amount })).toThrow(
      expect.objectContaining({ code: "bad-amount" }),
    );
  }
});
