import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import type { EluentProgram } from "./eluent-program.js";
import { type ColumnIon, type PredictedPeak, predictPeak, type WidthOptions } from "./peak-width.js";
import type { ColumnTimes } from "./retention.js";

/** One ion of a predicted separation, in order of elution. */
export interface SeparatedIon extends PredictedPeak {
  readonly ion: string;
  /** Resolution from the next ion; undefined for the last. */
  readonly resolutionNext: number | undefined;
}

export interface Separation {
  readonly kind: "separation";
  /** In order of elution. */
  readonly peaks: readonly SeparatedIon[];
  /** The pair that is separated worst; undefined with fewer than two ions. */
  readonly worst:
    | { readonly first: string; readonly second: string; readonly resolution: number }
    | undefined;
  /** Last retention time + 3σ, min. */
  readonly end: number;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** Full width at half height of a Gaussian of σ = 1: 2√(2 ln 2). */
const HALF_WIDTH = 2 * Math.sqrt(2 * Math.LN2);

/**
 * A whole separation predicted: retention times, widths and the resolution of neighbours,
 * R_s = 1.18·(t₂ − t₁)/(w₁ + w₂) with w = 2.355σ the width at half height.
 *
 * @param ions name to retention model and plates
 * @param program eluent programme (min, mmol/L)
 * @param times hold-up and dwell time, min
 * @throws IonbookError as `predictPeak`
 * @source built from `predictRetention`, `predictPeak` and the resolution of half-height widths (USP <621>, Ph. Eur. 2.2.46, from memory)
 */
export function predictSeparation(
  ions: Readonly<Record<string, ColumnIon>>,
  program: EluentProgram,
  times: ColumnTimes,
  options: WidthOptions = {},
): Separation {
  const sorted = Object.entries(ions)
    .map(([ion, model]) => ({ ion, ...predictPeak(model, program, times, options) }))
    .sort((p, q) => p.retentionTime - q.retentionTime);
  const peaks = sorted.map((peak, i) => ({
    ...peak,
    resolutionNext: i + 1 < sorted.length ? resolution(peak, sorted[i + 1]) : undefined,
  }));
  const last = peaks.at(-1);
  return {
    kind: "separation",
    peaks,
    worst: worstPair(peaks),
    end: last ? last.retentionTime + 3 * last.sigma : 0,
    toString() {
      return describe(this);
    },
    [DISPLAY]() {
      return displayOf(this);
    },
  };
}

function describe({ peaks, worst, end }: Separation): string {
  const lines = peaks.map(
    ({ ion, retentionTime, sigma, resolutionNext }) =>
      `${ion}: ${retentionTime.toFixed(2)} min, half-height width ${(HALF_WIDTH * sigma).toFixed(3)} min` +
      (resolutionNext === undefined ? "" : `, resolution to the next ${resolutionNext.toFixed(2)}`),
  );
  if (worst)
    lines.push(`worst pair: ${worst.first} and ${worst.second}, resolution ${worst.resolution.toFixed(2)}`);
  return [...lines, `end of the last peak: ${end.toFixed(1)} min`].join("\n");
}

function resolution(first: PredictedPeak, second: PredictedPeak): number {
  return (1.18 * (second.retentionTime - first.retentionTime)) / (HALF_WIDTH * (first.sigma + second.sigma));
}

function worstPair(peaks: readonly SeparatedIon[]): Separation["worst"] {
  let worst: Separation["worst"];
  for (let i = 0; i + 1 < peaks.length; i++) {
    const { ion, resolutionNext } = peaks[i];
    if (resolutionNext !== undefined && (worst === undefined || resolutionNext < worst.resolution)) {
      worst = { first: ion, second: peaks[i + 1].ion, resolution: resolutionNext };
    }
  }
  return worst;
}
