import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, it } from "vitest";
import { generateSecond } from "../score/second-generator/generate.js";
import {
  ANION_METHOD,
  CATION_METHOD,
  type ChannelMethod,
  type TargetIon,
} from "../score/second-generator/method.js";
import { prescribedCurve } from "../score/second-generator/model-adequacy.js";
import { type RunPlan, runPlan } from "../score/second-generator/run-plan.js";
import { samplesOf } from "../score/second-generator/scenario.js";
import type { BatchTruth } from "../score/truth.js";

const scratch = mkdtempSync(join(tmpdir(), "ionbook-perfect-"));
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

/** Relative standard deviation of the injected volume that an analyst would find (0.2 – 0.4 % by seed). */
const VOLUME_U = 0.003;
/** Relative u of mass and volume of an extract together: 0.002 g of 2.1 g, 0.08 mL of 50 mL. */
const EXTRACT_U = Math.hypot(0.002 / 2.1, 0.08 / 50);

/** What one ion's calibration knows: its curve, and the relative u of stock and of the curve's scatter. */
function calibrated(
  { injections, standards }: RunPlan,
  ion: TargetIon,
  areaIn: (injection: string) => number,
) {
  const stated = new Map(
    standards.flatMap(({ name, ions }) =>
      ions.filter((one) => one.ion === ion.name).map((one) => [name, one] as const),
    ),
  );
  const points = injections.flatMap(({ id, kind, solution }): [number, number][] => {
    const standard = stated.get(solution);
    return kind === "calibration" && standard ? [[standard.stated, areaIn(id)]] : [];
  });
  const curve = prescribedCurve(ion.model, points);
  const parameters = ion.model === "quadratic" ? 3 : 2;
  const squares = points.reduce((sum, [stands, area]) => sum + (curve(area) / stands - 1) ** 2, 0);
  const first = [...stated.values()][0];
  return {
    curve,
    uStock: first.uStock / first.stated,
    // Replicates share the error of their flask: it is the levels that average.
    uCurve: Math.sqrt(((squares / (points.length - parameters)) * parameters) / ion.levels.length),
  };
}

/** (found − true)/u of every sample that holds the ion, reading true areas off the calibration. */
function deviations(batch: BatchTruth, plan: RunPlan, ion: TargetIon): number[] {
  const areaIn = (injection: string) =>
    batch.peaks.find((peak) => peak.injection === injection && peak.name === ion.name)?.area ?? Number.NaN;
  const { curve, uStock, uCurve } = calibrated(plan, ion, areaIn);
  return batch.samples.flatMap((value): number[] => {
    const inside = plan.injections
      .filter(({ kind, solution }) => kind === "sample" && solution === value.sample)
      .map(({ id, dilution, uDilution = 0 }) => ({ read: curve(areaIn(id)), dilution, uDilution }))
      .filter(({ read }) => read >= ion.levels[0] && read <= ion.levels[ion.levels.length - 1])
      .sort((a, b) => a.dilution - b.dilution)[0];
    if (value.ion !== ion.name || value.value === 0 || inside === undefined) return [];
    const found = inside.read * inside.dilution * value.preparationFactor;
    const extract = value.unit === "mg/L" ? 0 : EXTRACT_U;
    const u = found * Math.hypot(uStock, uCurve, VOLUME_U, inside.uDilution / inside.dilution, extract);
    return [(found - value.value) / u];
  });
}

it("an analyst who sees every area as it is, and adds up what the lab book admits, is right as often as stated", () => {
  const z: number[] = [];
  const judge = (batch: BatchTruth, seed: number, method: ChannelMethod) => {
    const plan = runPlan(seed, method, samplesOf(seed));
    for (const ion of method.targets) z.push(...deviations(batch, plan, ion));
  };
  for (const seed of [1, 2, 3]) {
    const [anions, cations] = generateSecond(seed, join(scratch, String(seed))).batches;
    judge(anions, seed, ANION_METHOD);
    judge(cations, seed, CATION_METHOD);
  }
  expect(z.length).toBeGreaterThan(300);
  // What the score asks for: so it can be reached on these batches, and only honest areas stand between.
  const covered = z.filter((one) => Math.abs(one) < 1.96).length / z.length;
  expect(covered).toBeGreaterThan(0.92);
  expect(covered).toBeLessThan(0.98);
  const rms = Math.sqrt(z.reduce((sum, one) => sum + one * one, 0) / z.length);
  expect(rms).toBeGreaterThan(0.8);
  expect(rms).toBeLessThan(1.2);
}, 30_000);
