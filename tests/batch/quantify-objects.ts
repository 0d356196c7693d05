import type {
  EvaluatedChannel,
  EvaluatedPeak,
  EvaluatedRun,
} from "../../toolkit/batch/quantify/evaluate-channel.js";
import { type Alignment, UNALIGNED } from "../../toolkit/batch/quantify/retention.js";
import type { Injection, MethodIon, Sample, SolutionIon } from "../../toolkit/batch/types.js";

// Small hand-made objects (invented): only what the functions under test look at.

export const injection = (over: Partial<Injection> = {}): Injection => ({
  id: "1",
  signal: "signals/1.csv",
  injectedAt: "2026-01-01T08:00:00",
  kind: "sample",
  solution: "water",
  dilution: 1,
  uDilution: 0,
  parent: undefined,
  remark: undefined,
  line: 2,
  other: {},
  ...over,
});

export const sample = (over: Partial<Sample> = {}): Sample => ({
  sample: "water",
  matrix: undefined,
  collectedAt: undefined,
  preparation: "direct",
  massGrams: undefined,
  uMassGrams: 0,
  volumeMilliliters: undefined,
  uVolumeMilliliters: 0,
  dryFraction: undefined,
  pH: undefined,
  conductivity: undefined,
  temperature: undefined,
  alkalinity: undefined,
  unit: "mg/L",
  line: 2,
  other: {},
  ...over,
});

export const methodIon = (ion: string, retentionTime: number, window = 0.25): MethodIon => ({
  ion,
  retentionTime,
  window,
  model: "linear",
  weighting: "1/x^2",
});

export const solution = (name: string, ion: string, concentration: number): SolutionIon => ({
  solution: name,
  ion,
  concentration,
  u: 0,
  stock: undefined,
  uStock: 0,
  line: 2,
});

/** A measured peak, present unless told otherwise. */
export const peak = (
  over: Partial<EvaluatedPeak> & { readonly time: number; readonly area: number },
): EvaluatedPeak => ({
  uNoise: 0,
  uIntegration: 0,
  sources: [],
  height: over.area,
  first: 0,
  last: 1,
  rule: "summation",
  component: new Float64Array(2),
  flags: [],
  raw: {
    time: over.time,
    uTime: 0.001,
    height: over.area,
    area: over.area,
    index: 0,
    significance: 100,
    broad: over.broad ?? false,
  },
  ion: undefined,
  deviation: undefined,
  broad: false,
  ...over,
});

/** One sample a minute, so that an area in signal × samples is one in µS/cm·min. */
export const run = (
  of: Partial<Injection>,
  peaks: readonly EvaluatedPeak[],
  alignment: Alignment = UNALIGNED,
): EvaluatedRun =>
  ({
    injection: injection(of),
    trace: { interval: 1 },
    alignment,
    peaks,
  }) as unknown as EvaluatedRun;

export const channelOf = (
  ions: readonly MethodIon[],
  runs: readonly EvaluatedRun[],
  solutions: readonly SolutionIon[] = [],
): EvaluatedChannel =>
  ({
    batch: { method: { channel: "anion" }, solutions },
    ions,
    widths: { at: () => 0.05, widest: 0.05 },
    runs,
  }) as unknown as EvaluatedChannel;
