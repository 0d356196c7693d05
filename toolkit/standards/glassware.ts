import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import {
  combineLinear,
  type InputUncertainty,
  type MeasuredValue,
  measured,
} from "../uncertainty/measured.js";

/** A piece of glassware or a pipette, and what is known of the volume it holds or delivers. */
export interface Glassware {
  readonly name: string;
  readonly kind: "flask" | "pipette" | "piston pipette";
  /** Volume at 20 °C, mL: the mark of a flask or pipette, the largest volume of a piston pipette. */
  readonly volume: number;
  /** Smallest volume that is trusted, mL; only a piston pipette delivers less than `volume`. */
  readonly smallest: number;
  /** How far its calibration may be off, mL, at any volume it is set to. */
  readonly calibration: InputUncertainty;
  /** Standard deviation of one filling or delivery, mL. */
  readonly repeatability: number;
  /**
   * "each": every solution stands in a piece of its own, so their calibrations are independent. "one": the same piece
   * serves them all and its calibration is a shared source.
   */
  readonly pieces: "each" | "one";
}

export interface GlasswareOptions {
  /** @default kind and volume, "100 mL flask" */
  readonly name?: string;
  /** Maximum permissible error, ± mL, its centre likely (triangular). @default class A at 20 °C */
  readonly tolerance?: number;
  /** What a calibration found, instead of the tolerance, mL. */
  readonly calibration?: InputUncertainty;
  /** Standard deviation of one filling or delivery, mL. @default a fifth of the tolerance, the size in QUAM A1 */
  readonly repeatability?: number;
  /** @default "each" for flasks, "one" for pipettes */
  readonly pieces?: "each" | "one";
}

/** ± mL at 20 °C. */
const FLASK_CLASS_A: Readonly<Record<number, number>> = {
  10: 0.025,
  25: 0.04,
  50: 0.06,
  100: 0.1,
  250: 0.15,
  500: 0.25,
  1000: 0.4,
};
const PIPETTE_CLASS_A: Readonly<Record<number, number>> = {
  1: 0.008,
  2: 0.01,
  5: 0.015,
  10: 0.02,
  20: 0.03,
  25: 0.03,
};
/** Maximum permissible systematic error of a piston pipette over its largest volume. */
const PISTON_ERROR = 0.008;
/** Of the largest volume of a piston pipette: below it is not trusted. */
const SMALLEST_SHARE = 0.1;
const REPEATABILITY_SHARE = 0.2;
const KNOWN = { name: true, tolerance: true, calibration: true, repeatability: true, pieces: true } as const;

/**
 * A one-mark volumetric flask.
 *
 * @param volume mL at 20 °C
 * @throws IonbookError "bad-volume", "no-tolerance" for a volume without a class A tolerance where none is given,
 *   "bad-uncertainty"
 * @source tolerances: ISO 1042 class A (from memory); filling ± 0.02 mL at 100 mL: QUAM, example A1
 */
export function volumetricFlask(volume: number, options: GlasswareOptions = {}): Glassware {
  return oneMark("flask", volume, FLASK_CLASS_A, options);
}

/**
 * A one-mark pipette: it delivers its whole volume.
 *
 * @param volume mL at 20 °C
 * @throws IonbookError "bad-volume", "no-tolerance", "bad-uncertainty"
 * @source tolerances: ISO 648 class A (from memory)
 */
export function pipette(volume: number, options: GlasswareOptions = {}): Glassware {
  return oneMark("pipette", volume, PIPETTE_CLASS_A, options);
}

/**
 * An air-displacement pipette of adjustable volume, trusted from a tenth of its largest volume on.
 *
 * @param largest mL
 * @throws IonbookError "bad-volume", "bad-uncertainty"
 * @source maximum permissible errors 0.8 % of the largest volume at every setting: ISO 8655 (from memory); trusted from
 *   10 % of the range: common practice, no source
 */
export function pistonPipette(largest: number, options: GlasswareOptions = {}): Glassware {
  requireVolume(largest);
  requireKnownOptions(options, KNOWN, "pistonPipette");
  const tolerance = options.tolerance ?? PISTON_ERROR * largest;
  const name = options.name ?? `${microlitres(largest)} piston pipette`;
  return piece("piston pipette", largest, SMALLEST_SHARE * largest, tolerance, { ...options, name });
}

function microlitres(volume: number): string {
  return `${Number((1000 * volume).toPrecision(6))} µL`;
}

function oneMark(
  kind: "flask" | "pipette",
  volume: number,
  classA: Readonly<Record<number, number>>,
  options: GlasswareOptions,
): Glassware {
  requireVolume(volume);
  requireKnownOptions(options, KNOWN, kind === "flask" ? "volumetricFlask" : "pipette");
  const tolerance = options.tolerance ?? classA[volume];
  if (tolerance === undefined && options.calibration === undefined) {
    throw new IonbookError(
      "no-tolerance",
      `A ${kind} of ${volume} mL has no tolerance in the table (${Object.keys(classA).join(", ")} mL): give { tolerance } in mL as it stands on the glass`,
    );
  }
  return piece(kind, volume, volume, tolerance ?? 0, {
    ...options,
    name: options.name ?? `${volume} mL ${kind}`,
  });
}

function piece(
  kind: Glassware["kind"],
  volume: number,
  smallest: number,
  tolerance: number,
  options: GlasswareOptions & { readonly name: string },
): Glassware {
  const calibration = options.calibration ?? { halfWidth: tolerance, shape: "triangular" as const };
  const { u } = measured(volume, "mL", calibration);
  // A calibrated piece states no tolerance: two standard uncertainties stand for it.
  const spread = options.calibration === undefined ? tolerance : 2 * u;
  const repeatability = options.repeatability ?? REPEATABILITY_SHARE * spread;
  if (!(repeatability >= 0 && repeatability < volume)) {
    throw new IonbookError(
      "bad-uncertainty",
      `The repeatability of the ${options.name} is ${repeatability}; give the standard deviation of one filling in mL`,
    );
  }
  const pieces = options.pieces ?? (kind === "flask" ? "each" : "one");
  return { name: options.name, kind, volume, smallest, calibration, repeatability, pieces };
}

function requireVolume(volume: number): void {
  if (typeof volume === "number" && volume > 0 && volume < 1e5) return;
  throw new IonbookError("bad-volume", `A volume is given in mL and above 0, not ${String(volume)}`);
}

/** How the room's temperature enters: volumes are true at 20 °C. */
export interface RoomTemperature {
  /** The room lies within 20 °C ± this. @default 4 */
  readonly halfWidth: number;
}

/** Of water less that of glass is water's own but for 5 %. K⁻¹ */
const EXPANSION = 2.1e-4;

/** One use of a piece: for which solution, of which day, to what volume. */
export interface VolumeUse {
  readonly solution: string;
  /** What is measured off: the name of the parent solution, or undefined for filling to the mark. */
  readonly of?: string;
  /** Solutions of one day share the room's temperature. */
  readonly day: string;
  /** mL of one delivery. */
  readonly volume: number;
  readonly times: number;
}

/**
 * A volume with its named sources: the calibration of the piece, its filling, and the temperature of the day.
 *
 *     u²(V) = (n·u_cal)² + n·s² + (V·2.1·10⁻⁴·ΔT/√3)²,   V = n·v
 *
 * Flask and pipette are warm or cold together: their ratio in one day's dilution is free of the temperature.
 *
 * @source QUAM, example A1; expansion of water 2.1·10⁻⁴ K⁻¹
 */
export function volumeOf(glass: Glassware, use: VolumeUse, room: RoomTemperature): MeasuredValue {
  const { calibration, repeatability, name, pieces } = glass;
  const total = use.volume * use.times;
  const owner = pieces === "each" ? `${name} of ${use.solution}` : name;
  const act = use.of === undefined ? `filling ${use.solution}` : `pipetting ${use.of} into ${use.solution}`;
  const warmth = total * EXPANSION * room.halfWidth;
  const parts = [
    {
      value: measured(use.volume, "mL", calibration, { source: `calibration of ${owner}` }),
      factor: use.times,
    },
    { value: measured(0, "mL", { u: repeatability * Math.sqrt(use.times) }, { source: act }), factor: 1 },
    {
      value: measured(
        0,
        "mL",
        { halfWidth: warmth, shape: "rectangular" },
        { source: `temperature, ${use.day}` },
      ),
      factor: 1,
    },
  ];
  return combineLinear(parts, "mL");
}
