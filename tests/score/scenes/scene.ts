import type { Chromatogram } from "../../../toolkit/signal/chromatogram.js";

/** What the detector adds: its own noise white, white with as much 1/f noise, or with three times as much. */
export type NoiseKind = "white" | "white + 1/f" | "white + 3× 1/f";
export const NOISE_KINDS: readonly NoiseKind[] = ["white", "white + 1/f", "white + 3× 1/f"];

/** How a band's tail runs out; the last two are no sums of exponentials. */
export type TailForm = "exponential" | "slow exponentials" | "power law" | "tabulated";

/** Where a peak stands among the others, by what they leave under it. */
export type Situation = "isolated" | "overlapped" | "rider" | "near dip";
/** How high it is over the noise: 5–20, 20–200, 200–20 000, above. */
export type Size = "below" | "trace" | "small" | "medium" | "major";

/** A rider by design: how many times higher its giant is, how far away in σ, on which side, and what helps. */
export interface RiderDesign {
  readonly ratio: number;
  readonly gap: number;
  readonly side: "behind" | "in front";
  /** Whether the run was evaluated with the giant's own profile, injected alone. */
  readonly profile: boolean;
}

/** One peak as it truly is. Times in min, height in µS/cm, area in µS/cm·min. */
export interface TruePeak {
  readonly ion: string;
  readonly kind: "ion" | "unknown" | "system";
  /** Top of its own contribution. */
  readonly apex: number;
  readonly sigma: number;
  readonly tau: number;
  readonly overload: number;
  /** Signal with everything less signal without this one, integrated over the record. */
  readonly area: number;
  readonly height: number;
  readonly situation: Situation;
  /** Height over the standard deviation of the noise. */
  readonly signalToNoise: number;
  readonly rider?: RiderDesign;
}

/** One injection: what was recorded and what is true of it. */
export interface SceneRun {
  readonly chromatogram: Chromatogram;
  readonly truth: readonly TruePeak[];
  /** Records of the giants alone, for a run that is evaluated with them; the giants' apexes, min. */
  readonly alone?: { readonly chromatogram: Chromatogram; readonly apexes: readonly number[] };
}

/** Injections of one instrument with one programme, as a laboratory would make them in a day. */
export interface Scene {
  readonly name: string;
  readonly family: "anions" | "cations" | "ladder";
  readonly seed: number;
  readonly noise: NoiseKind;
  readonly tail: TailForm;
  readonly blanks: readonly SceneRun[];
  readonly standards: readonly SceneRun[];
  readonly samples: readonly SceneRun[];
  /** Ions a laboratory of this method would name, with the charge. */
  readonly named: readonly { readonly ion: string; readonly charge: number }[];
}

export function sizeOf(signalToNoise: number): Size {
  if (signalToNoise < 5) return "below";
  if (signalToNoise < 20) return "trace";
  if (signalToNoise < 200) return "small";
  return signalToNoise < 20_000 ? "medium" : "major";
}
