import type { IntegratedPeak } from "../../../toolkit/peaks/integration/integrate-chromatogram.js";
import { type IntegratedRun, integrateScene } from "./chain.js";
import { type IdentityCounts, judgeIdentity } from "./identity.js";
import { assignPeaks } from "./match.js";
import { type RecoveredFraction, recoveredFraction, usualFraction } from "./recovered-fraction.js";
import type { Scene, TruePeak } from "./scene.js";

/** A true peak and what became of it. */
export interface JudgedPeak {
  readonly scene: Scene;
  readonly run: string;
  readonly truth: TruePeak;
  readonly found?: {
    readonly peak: IntegratedPeak;
    /** Area as found over the true one. */
    readonly raw: number;
    /** Area divided by the recovered fraction of the ion's standards, over the true one, less 1. */
    readonly error: number;
    /** (found − true)/u, the recovered fraction's own u included. */
    readonly z: number;
    /** Whether the 95 % interval holds the truth, and whether ± 2u does. */
    readonly inside: boolean;
    /** The same without the u of the recovered fraction. */
    readonly insideAlone: boolean;
    readonly insideTwo: boolean;
    readonly refused: boolean;
  };
}

/** A found peak where nothing is. */
export interface StrayPeak {
  readonly scene: Scene;
  readonly run: string;
  readonly peak: IntegratedPeak;
}

export interface JudgedScene {
  readonly scene: Scene;
  readonly runs: number;
  readonly peaks: readonly JudgedPeak[];
  readonly strays: readonly StrayPeak[];
  readonly identity: IdentityCounts;
  readonly fractions: ReadonlyMap<string, RecoveredFraction>;
}

/** Standards from this S/N on tell the recovered fraction. */
const TEACHES = 50;
/** A found peak within so many σ of a system peak is that one, not a false peak. */
const SYSTEM_REACH = 3;

export function judgeScene(scene: Scene): JudgedScene {
  const { standards, samples } = integrateScene(scene);
  const fractions = fractionsOf(standards);
  const usual = usualFraction([...fractions.values()]);
  const judged = samples.map((integrated) => {
    const { truth } = integrated.run;
    const partner = assign(integrated);
    const run = integrated.run.chromatogram.id;
    const taken = new Set(partner);
    return {
      peaks: truth.flatMap((peak, i): JudgedPeak[] => {
        const at = partner[i];
        if (peak.kind === "system") return [];
        const found = at === undefined ? undefined : integrated.peaks[at];
        const fraction = fractions.get(peak.ion) ?? usual;
        return [{ scene, run, truth: peak, ...(found && { found: compare(found, peak, fraction) }) }];
      }),
      strays: integrated.peaks.flatMap((peak, j): StrayPeak[] =>
        taken.has(j) || onSystemPeak(peak, truth) ? [] : [{ scene, run, peak }],
      ),
    };
  });
  return {
    scene,
    runs: samples.length,
    peaks: judged.flatMap(({ peaks }) => peaks),
    strays: judged.flatMap(({ strays }) => strays),
    identity: judgeIdentity(scene, standards, samples),
    fractions,
  };
}

/** For each true peak the index of its found one. */
export function assign({ run, peaks }: IntegratedRun): readonly (number | undefined)[] {
  return assignPeaks(
    run.truth,
    peaks.map(({ retentionTime }) => retentionTime),
  );
}

function fractionsOf(standards: readonly IntegratedRun[]): ReadonlyMap<string, RecoveredFraction> {
  const readings = new Map<string, { found: number; u: number; truth: number }[]>();
  for (const standard of standards) {
    const partner = assign(standard);
    standard.run.truth.forEach(({ ion, area, signalToNoise, kind }, i) => {
      const at = partner[i];
      if (at === undefined || kind !== "ion" || signalToNoise < TEACHES) return;
      const { value, u } = standard.peaks[at].area;
      const list = readings.get(ion) ?? [];
      list.push({ found: value, u, truth: area });
      readings.set(ion, list);
    });
  }
  const out = new Map<string, RecoveredFraction>();
  for (const [ion, list] of readings) {
    const fraction = recoveredFraction(list);
    if (fraction) out.set(ion, fraction);
  }
  return out;
}

function compare(
  peak: IntegratedPeak,
  { area }: TruePeak,
  { fraction, u: uFraction }: RecoveredFraction,
): NonNullable<JudgedPeak["found"]> {
  const value = peak.area.value / fraction;
  const u = Math.hypot(peak.area.u / fraction, (value * uFraction) / fraction);
  const z = (value - area) / u;
  const { k } = peak.area.interval(0.95);
  return {
    peak,
    raw: peak.area.value / area,
    error: value / area - 1,
    z,
    inside: Math.abs(z) <= k,
    insideAlone: Math.abs(value - area) <= (k * peak.area.u) / fraction,
    insideTwo: Math.abs(z) <= 2,
    refused: (peak as { readonly quantifiable?: boolean }).quantifiable === false,
  };
}

function onSystemPeak({ retentionTime }: IntegratedPeak, truth: readonly TruePeak[]): boolean {
  return truth.some(
    ({ kind, apex, sigma }) => kind === "system" && Math.abs(retentionTime - apex) < SYSTEM_REACH * sigma,
  );
}
