import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { ion } from "../../toolkit/ions/ion-table.js";
import { cellSolute, chargeMoments } from "../../toolkit/simulation/cell-solute.js";
import { roadSaltScenario } from "../../toolkit/simulation/road-salt-scenario.js";
import type { Scenario, ScenarioChannel } from "../../toolkit/simulation/scenario.js";
import { type SimulatedBatch, simulateBatch } from "../../toolkit/simulation/simulate-batch.js";
import { simulateInjection } from "../../toolkit/simulation/simulate-injection.js";
import { drawSamples, drawSolutions } from "../../toolkit/simulation/true-liquids.js";
import { writeBatch } from "../../toolkit/simulation/write-batch.js";

/** The story with the calibration alone on its worksheet, where the test needs no samples injected. */
function shortened(scenario: Scenario, injections: number): Scenario {
  return {
    ...scenario,
    channels: scenario.channels.map((channel) => ({
      ...channel,
      worksheet: channel.worksheet.slice(0, injections),
    })),
  };
}

function table(text: string): Record<string, string>[] {
  const [header, ...rows] = text
    .trimEnd()
    .split("\n")
    .map((line) => line.split(","));
  return rows.map((row) => Object.fromEntries(header.map((name, i) => [name, row[i]])));
}

const scenario = roadSaltScenario();
let batch: SimulatedBatch;
let folder: string;

beforeAll(async () => {
  batch = simulateBatch(scenario, { seed: 1 });
  folder = await mkdtemp(join(tmpdir(), "ionbook-simulation-"));
}, 60_000);
afterAll(() => rm(folder, { recursive: true, force: true }));

describe("the files of a simulated batch", () => {
  it("hold every signal that the worksheet names, and a row for every solution and sample it uses", () => {
    for (const { files } of batch.channels) {
      const rows = table(files.get("worksheet.csv") as string);
      const solutions = new Set(table(files.get("solutions.csv") as string).map((row) => row.solution));
      const samples = new Set(table(files.get("samples.csv") as string).map((row) => row.sample));
      const ids = new Set(rows.map((row) => row.injection));
      expect(ids.size).toBe(rows.length);
      expect(files.size).toBe(rows.length + 4);
      for (const { signal, kind, solution, parent } of rows) {
        expect(files.has(signal)).toBe(true);
        if (kind === "sample" || kind === "duplicate") expect(samples).toContain(solution);
        else if (kind !== "blank") expect(solutions).toContain(solution);
        if (kind === "duplicate" || kind === "matrix spike") expect(ids).toContain(parent);
      }
    }
  });

  it("make a day's work: seven levels twice, five blanks or more, one after the highest level, checks around samples", () => {
    for (const { files } of batch.channels) {
      const rows = table(files.get("worksheet.csv") as string);
      const kinds = rows.map((row) => row.kind);
      const count = (kind: string): number => kinds.filter((each) => each === kind).length;
      expect(count("calibration")).toBe(14);
      expect(count("blank")).toBeGreaterThanOrEqual(5);
      expect(count("second source")).toBe(1);
      expect(count("matrix spike")).toBe(1);
      expect(count("duplicate")).toBe(2);
      expect(rows[rows.findIndex((row) => row.solution === "L7") + 1].kind).toBe("blank");
      const checks = kinds.flatMap((kind, i) => (kind === "continuing check" ? [i] : []));
      const samples = kinds.flatMap((kind, i) => (kind === "sample" ? [i] : []));
      for (const at of samples) {
        expect(checks.some((check) => check < at)).toBe(true);
        expect(checks.some((check) => check > at && check - at <= 12)).toBe(true);
      }
      const ditch = rows.filter((row) => row.solution.startsWith("ditch")).map((row) => Number(row.dilution));
      expect(new Set(ditch).size).toBe(2);
    }
  });

  it("say that the data are invented and tell nothing of the truth", () => {
    for (const { files } of batch.channels) {
      expect(JSON.parse(files.get("batch.json") as string).remark).toContain("invented");
      const text = ["batch.json", "worksheet.csv", "solutions.csv", "samples.csv"]
        .map((name) => files.get(name))
        .join();
      expect(text).not.toMatch(/formate|truth|volumeFactor/);
    }
  });

  it("are written as folders of the channels with the truth beside them, and not over others unasked", async () => {
    const folders = await writeBatch(batch, folder);
    expect((await readdir(folder)).sort()).toEqual(["anions", "cations", "truth.json"]);
    expect(await readFile(join(folders[0], "signals/A001.csv"), "utf8")).toBe(
      batch.channels[0].files.get("signals/A001.csv"),
    );
    expect(JSON.parse(await readFile(join(folder, "truth.json"), "utf8"))).toEqual(
      JSON.parse(JSON.stringify(batch.truth)),
    );
    await expect(writeBatch(batch, folder)).rejects.toThrow(
      expect.objectContaining({ code: "already-exists" }),
    );
  });
});

describe("a seed", () => {
  it("gives the same batch again, and another seed another", () => {
    const short = shortened(scenario, 3);
    const [first, again, other] = [1, 1, 2].map((seed) => simulateBatch(short, { seed }));
    expect(again.channels).toEqual(first.channels);
    expect(again.truth).toEqual(first.truth);
    expect(other.channels[0].files.get("signals/A002.csv")).not.toBe(
      first.channels[0].files.get("signals/A002.csv"),
    );
    // The first three injections do not know how many follow.
    expect(first.channels[0].files.get("signals/A003.csv")).toBe(
      batch.channels[0].files.get("signals/A003.csv"),
    );
  });
});

describe("the truth", () => {
  it.each([1, 2, 3])(
    "holds waters whose charges add up to zero, unknown anions included, seed %i",
    (seed) => {
      const moments = new Float64Array(2);
      for (const { truth, scenario: story } of drawSamples(scenario, seed).values()) {
        if (truth.pH === undefined) continue;
        const h = 10 ** -truth.pH;
        // Hydrogencarbonate stands for all carbonate; its partner CO3 follows from the pH.
        const charge = (name: string, value: number): number => {
          const moles = value / ion(name).molarMass;
          if (name === "hydrogencarbonate") return -moles * (1 + (2 * 10 ** -10.329) / h);
          chargeMoments(cellSolute(name), h, moments);
          return moles * moments[0];
        };
        const parts = [
          ...Object.entries(truth.concentrations).map(([name, value]) => charge(name, value)),
          ...truth.unknowns.map(({ ion: name, concentration }) => charge(name, concentration)),
          1000 * (h - 1e-14 / h),
        ];
        const [sum, size] = [parts.reduce((s, y) => s + y, 0), parts.reduce((s, y) => s + Math.abs(y), 0)];
        expect(Math.abs(sum / size), story.sample).toBeLessThan(2e-4);
      }
    },
  );

  it("keeps absent ions at exactly zero and the unidentified anions to well 2", () => {
    for (const { sample, concentrations, unknowns } of batch.truth.samples) {
      if (sample.startsWith("spring"))
        expect(concentrations).toMatchObject({ nitrite: 0, bromide: 0, ammonium: 0 });
      expect(unknowns.map(({ ion: name }) => name)).toEqual(
        sample.startsWith("well 2") ? ["formate", "methanesulfonate"] : [],
      );
    }
  });

  it("states equivalents of unknown anions by their charge", () => {
    const [formate] = batch.truth.samples.find(({ sample }) => sample.startsWith("well 2"))?.unknowns ?? [];
    expect(formate.microequivalentsPerLiter).toBeCloseTo((1000 * formate.concentration) / 45.017, 2);
  });

  it.each([24, 0, -15])(
    "shows a chloride rise of %f mg/L in well 3 and none in the spring",
    (chlorideRise) => {
      const rises = [1, 2, 3].map((seed) => {
        const samples = [...drawSamples(roadSaltScenario({ chlorideRise }), seed).values()];
        const mean = (site: string, period: string): number => {
          const of = samples.filter(({ scenario: s }) => s.site === site && s.period === period);
          return of.reduce((sum, { truth }) => sum + truth.concentrations.chloride / of.length, 0);
        };
        return [
          mean("well 3", "after") - mean("well 3", "before"),
          mean("spring", "after") - mean("spring", "before"),
        ];
      });
      for (const [well, spring] of rises) {
        // Between visits a water varies by 1.5 %.
        expect(Math.abs(well - chlorideRise)).toBeLessThan(2);
        expect(Math.abs(spring)).toBeLessThan(0.4);
      }
      expect(roadSaltScenario({ chlorideRise }).answer).toEqual({
        "chloride rise in well 3, mg/L": chlorideRise,
      });
    },
  );

  it("has standards off by their stated uncertainty, all solutions of one stock by the same share", () => {
    const channel = scenario.channels[0];
    const own: number[] = [];
    const shared: number[] = [];
    for (let seed = 1; seed <= 200; seed++) {
      const drawn = drawSolutions(channel, seed);
      const off = (solution: string, name: string): number => {
        const stated = channel.solutions.find((each) => each.solution === solution);
        const nominal = stated?.ions.find((each) => each.ion === name)?.concentration ?? 0;
        return (drawn.get(solution)?.[name] ?? 0) / nominal - 1;
      };
      // Two ions of one solution differ by their stocks, two solutions of one stock by their making.
      shared.push((off("L5", "chloride") - off("L5", "nitrate")) / Math.SQRT2 / 0.002);
      own.push((off("L5", "chloride") - off("L6", "chloride")) / Math.SQRT2 / 0.0035);
      const ratio = (name: string): number => (1 + off("L5", name)) / (1 + off("L6", name));
      expect(ratio("chloride")).toBeCloseTo(ratio("nitrate"), 12);
    }
    const rms = (values: number[]): number =>
      Math.sqrt(values.reduce((sum, y) => sum + y * y, 0) / values.length);
    // The spread of 200 normal deviates is known to 5 %, one standard deviation.
    expect(Math.abs(rms(shared) - 1)).toBeLessThan(0.15);
    expect(Math.abs(rms(own) - 1)).toBeLessThan(0.15);
  });

  it("has injections off by 0.3 % in volume and dilutions by the stated 0.4 %, shared by all ions", () => {
    const volumes = batch.truth.channels.flatMap(({ injections }) =>
      injections.map(({ volumeFactor }) => (volumeFactor - 1) / 0.003),
    );
    const rms = Math.sqrt(volumes.reduce((sum, y) => sum + y * y, 0) / volumes.length);
    expect(Math.abs(rms - 1)).toBeLessThan(4 / Math.sqrt(2 * volumes.length));
    const dilutions = batch.truth.channels[1].injections
      .filter(({ dilution }) => dilution !== 1)
      .map(({ dilution }) => {
        const nominal = dilution > 50 ? 100 : dilution > 5 ? 10 : 2;
        return (dilution / nominal - 1) / 0.004;
      });
    const spread = Math.sqrt(dilutions.reduce((sum, y) => sum + y * y, 0) / dilutions.length);
    expect(Math.abs(spread - 1)).toBeLessThan(4 / Math.sqrt(2 * dilutions.length));
  });
});

describe("the method of the demo laboratory", () => {
  const NOMINAL = { flow: 0, eluent: 0, temperature: 0, capacity: 1 };

  /** True areas of every level, as nominal, without noise. */
  function levels(channel: ScenarioChannel): { concentration: number; area: number }[][] {
    const perLevel = channel.solutions
      .filter(({ solution }) => /^L\d$/.test(solution))
      .map(({ ions }) => {
        const solutes = channel.method.map(({ ion: name }) => ({
          solute: channel.solutes.find((each) => each.ion === name) as ScenarioChannel["solutes"][0],
          nanomoles:
            ((ions.find((each) => each.ion === name)?.concentration ?? 0) / ion(name).molarMass) *
            channel.instrument.loop,
        }));
        const { peaks } = simulateInjection(
          channel.instrument,
          { solutes, carbonicNanomoles: 0.2 },
          NOMINAL,
          "1",
        );
        return peaks.map(({ ion: name, area }) => ({
          concentration: ions.find((each) => each.ion === name)?.concentration ?? 0,
          area,
        }));
      });
    return channel.method.map((_, i) => perLevel.map((level) => level[i]));
  }

  it.each(scenario.channels)("describes the response within 0.5 % at every level, $folder", (channel) => {
    for (const [i, points] of levels(channel).entries()) {
      const { model, weighting, ion: name } = channel.method[i];
      const curve = calibrate(
        points.map(({ concentration, area }) => ({ concentration, response: area })),
        { model, weighting },
      );
      const worst = Math.max(
        ...curve.backCalculated().map(({ relativeErrorPercent }) => Math.abs(relativeErrorPercent)),
      );
      expect(worst, name).toBeLessThan(0.5);
    }
  });

  it("refuses effects and visits that do not fit the story", () => {
    expect(() => roadSaltScenario({ chlorideRise: -30 })).toThrow(
      expect.objectContaining({ code: "bad-effect" }),
    );
    expect(() => roadSaltScenario({ visits: 4 })).toThrow(expect.objectContaining({ code: "bad-visits" }));
    expect(() => roadSaltScenario({ rise: 4 } as never)).toThrow(
      expect.objectContaining({ code: "unknown-option" }),
    );
    expect(roadSaltScenario({ visits: 2 }).channels[0].worksheet).toHaveLength(47);
  });
});
