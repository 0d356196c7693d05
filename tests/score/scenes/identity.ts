import {
  firstReferences,
  learnReferences,
  type NamedRun,
  nameRun,
  type ReferenceTime,
  type TimedPeak,
  UNALIGNED,
} from "../../../toolkit/batch/quantify/retention.js";
import type { Injection, MethodIon } from "../../../toolkit/batch/types.js";
import { median } from "../../../toolkit/numeric/robust.js";
import type { IntegratedRun } from "./chain.js";
import { assignPeaks } from "./match.js";
import type { Scene } from "./scene.js";

/** Names given to found peaks that are really there, S/N at least 10. */
export interface IdentityCounts {
  readonly ions: number;
  readonly wrong: readonly string[];
  readonly missed: readonly string[];
  readonly unknowns: number;
  readonly unknownsNamed: readonly string[];
}

/** Peaks below this are judged by nobody. */
const CLEAR = 10;
/** The method's window: half the way to the next ion, at most this share of the retention time. */
const WIDEST_WINDOW = 0.04;

/** The batch's own identification on the peaks of a scene: references from the standards, then the samples in order. */
export function judgeIdentity(
  scene: Scene,
  standards: readonly IntegratedRun[],
  samples: readonly IntegratedRun[],
): IdentityCounts {
  const none = { ions: 0, wrong: [], missed: [], unknowns: 0, unknownsNamed: [] };
  if (scene.named.length === 0) return none;
  const windows = methodIons(scene);
  const references = learnt(scene, windows, standards);
  const counts = {
    ions: 0,
    wrong: [] as string[],
    missed: [] as string[],
    unknowns: 0,
    unknownsNamed: [] as string[],
  };
  let prior = UNALIGNED;
  for (const sample of samples) {
    const named = nameRun(sample.peaks.map(timed), references, windows, prior);
    prior = named.alignment;
    countRun(counts, sample, named, references);
  }
  return counts;
}

function countRun(
  counts: { ions: number; wrong: string[]; missed: string[]; unknowns: number; unknownsNamed: string[] },
  { run, peaks }: IntegratedRun,
  named: NamedRun,
  references: readonly ReferenceTime[],
): void {
  const partner = assignPeaks(
    run.truth,
    peaks.map(({ retentionTime }) => retentionTime),
  );
  run.truth.forEach(({ ion, kind, apex, signalToNoise }, i) => {
    const at = partner[i];
    if (at === undefined || kind === "system" || signalToNoise < CLEAR) return;
    const index = named.names[at];
    const name = index === undefined ? undefined : references[index].ion;
    const what = `${run.chromatogram.id}: ${ion} at ${apex.toFixed(2)} min is called ${name ?? "nothing"}`;
    if (kind === "unknown") {
      counts.unknowns++;
      if (name !== undefined) counts.unknownsNamed.push(what);
      return;
    }
    counts.ions++;
    if (name === undefined) counts.missed.push(what);
    else if (name !== ion) counts.wrong.push(what);
  });
}

/** Where each ion's standards stand: what a laboratory writes into its method. */
function methodIons({ named, standards }: Scene): readonly MethodIon[] {
  const times = named.map(({ ion }) =>
    median(
      standards.flatMap(({ truth }) => truth.filter((peak) => peak.ion === ion).map(({ apex }) => apex)),
    ),
  );
  return named.map(({ ion }, i) => {
    const nearest = Math.min(
      ...times.map((time, j) => (j === i ? Number.POSITIVE_INFINITY : Math.abs(time - times[i]))),
    );
    return {
      ion,
      retentionTime: times[i],
      window: Math.min(nearest / 2, WIDEST_WINDOW * times[i]),
      model: "linear",
      weighting: "1/x^2",
    };
  });
}

function learnt(
  { named }: Scene,
  windows: readonly MethodIon[],
  standards: readonly IntegratedRun[],
): readonly ReferenceTime[] {
  const charges = new Map(named.map(({ ion, charge }) => [ion, charge]));
  let references = firstReferences(windows, (ion) => charges.get(ion) ?? 1);
  for (let turn = 0; turn < 2; turn++) {
    let prior = UNALIGNED;
    const runs = standards.map(({ run, peaks }) => {
      const timedPeaks = peaks.map(timed);
      const named = nameRun(timedPeaks, references, windows, prior);
      prior = named.alignment;
      return { injection: asStandard(run.chromatogram.id), peaks: timedPeaks, named };
    });
    references = learnReferences(references, runs);
  }
  return references;
}

function asStandard(id: string): Injection {
  return {
    id,
    signal: "",
    injectedAt: "",
    kind: "calibration",
    solution: id,
    dilution: 1,
    uDilution: 0,
    parent: undefined,
    remark: undefined,
    line: 0,
    other: {},
  };
}

/** Apex time with the uncertainty that the noise gives it: a third of a width over the signal to noise. */
function timed({
  retentionTime,
  height,
  area,
  signalToNoise,
  start,
  end,
}: IntegratedRun["peaks"][number]): TimedPeak {
  const uTime = (end - start) / 6 / Math.max(signalToNoise, 1);
  return { time: retentionTime, uTime, height, area: area.value };
}
