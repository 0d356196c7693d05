import { checkPoints, requirePoints } from "../calibration/curve/check-points.js";
import { levelsOf } from "../calibration/response/levels.js";
import type { StandardReading } from "../calibration/response/types.js";
import { IonbookError, isIonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { checkErrorProbability, meanOf, standardDeviationOf } from "./check-replicates.js";
import type { BlankSpread, LadderData, LadderOptions, LowSpike } from "./ladder-types.js";

/** Fewer blanks than this say too little of their spread for any definition. */
export const FEWEST_BLANKS = 4;
/** Replicates that the US water rules ask for. */
export const FEWEST_SPIKES = 7;

/** Spikes of one level. */
export interface SpikeSet {
  readonly level: number;
  readonly values: readonly number[];
  readonly mean: number;
  readonly standardDeviation: number;
  /** Different dates; `undefined` where not every spike states one. */
  readonly dates: number | undefined;
  /** Different batches; `undefined` where not every spike states one. */
  readonly batches: number | undefined;
}

/** Checked data with what several rungs need of them. */
export interface LadderContext {
  readonly data: LadderData;
  readonly unit: string;
  readonly alpha: number;
  readonly beta: number;
  readonly replicates: number;
  readonly blankCorrected: boolean;
  /** Blanks that gave a number. */
  readonly blanks: readonly number[];
  /** `undefined` below four blanks, where all agree, and where the instrument clips. */
  readonly spread: BlankSpread | undefined;
  /** Why there is no spread. */
  readonly noSpread: string;
  readonly blankDoubts: readonly string[];
  readonly spikes: SpikeSet | undefined;
  readonly calibration: readonly StandardReading[];
  readonly lowestLevel: number | undefined;
}

const KNOWN_DATA: Readonly<Record<keyof LadderData, true>> = {
  unit: true,
  ion: true,
  blanks: true,
  newBlanks: true,
  blankPlaces: true,
  newSpikes: true,
  leftClipped: true,
  spikes: true,
  calibration: true,
  noise: true,
  confirmation: true,
  counting: true,
  given: true,
  lowestLevel: true,
};
const KNOWN_OPTIONS: Readonly<Record<keyof LadderOptions, true>> = {
  alpha: true,
  beta: true,
  replicates: true,
  blankCorrected: true,
  inForce: true,
  alarm: true,
};

/**
 * @throws IonbookError "unknown-option", "bad-option", "bad-level", "bad-replicates", "not-a-number", "bad-points",
 *   "negative-concentration"
 */
export function readLadder(data: LadderData, options: LadderOptions): LadderContext {
  requireKnownOptions(data, KNOWN_DATA, "limitLadder");
  requireKnownOptions(options, KNOWN_OPTIONS, "limitLadder");
  const { alpha = 0.05, beta = 0.05, replicates = 1, blankCorrected = true } = options;
  checkErrorProbability(alpha, "alpha");
  checkErrorProbability(beta, "beta");
  if (!(Number.isInteger(replicates) && replicates >= 1)) {
    throw new IonbookError("bad-replicates", `replicates is ${replicates}: give a whole number from 1`);
  }
  const blanks = numericBlanks(data.blanks);
  const spikes = readSpikes(data.spikes);
  // Neither goes into a limit; whoever mistypes them is to hear of it whatever the limits are.
  numericBlanks(data.newBlanks);
  readSpikes(data.newSpikes);
  const calibration = readCalibration(data.calibration);
  const noSpread = whyNoSpread(data, blanks);
  const spread = noSpread === "" ? blankSpread(blanks, replicates, spikes) : undefined;
  const lowest = data.lowestLevel ?? lowestAboveZero(calibration);
  positive(lowest, "lowestLevel");
  return {
    data,
    unit: data.unit ?? "mg/L",
    alpha,
    beta,
    replicates,
    blankCorrected,
    blanks,
    spread,
    noSpread,
    blankDoubts: doubtsOfBlanks(data.blanks ?? [], blanks),
    spikes,
    calibration,
    lowestLevel: lowest,
  };
}

/** @throws IonbookError "negative-concentration" for a number given that does not lie above zero */
export function positive(value: number | undefined, what: string): void {
  if (value === undefined || (value > 0 && value < Infinity)) return;
  throw new IonbookError(
    "negative-concentration",
    `${what} is ${value}: give a number above zero, or leave it out`,
  );
}

function list(values: unknown, what: string, example: string): void {
  if (values === undefined || Array.isArray(values)) return;
  throw new IonbookError(
    "bad-option",
    `limitLadder takes its ${what} as a list, as in ${example}, not ${String(values)}`,
  );
}

function numericBlanks(blanks: LadderData["blanks"]): readonly number[] {
  list(blanks, "blanks", "blanks: [0.0021, -0.0004, …]");
  return (blanks ?? []).filter((blank, i): blank is number => {
    if (blank === null) return false;
    if (Number.isFinite(blank)) return true;
    throw new IonbookError(
      "not-a-number",
      `Blank ${i + 1} is ${String(blank)}: give its number, or null where it gave none`,
    );
  });
}

function whyNoSpread(
  { leftClipped = false, blanks: given = [] }: LadderData,
  blanks: readonly number[],
): string {
  if (leftClipped)
    return "the instrument turns negative readings into zero, so the blanks' spread is too small: integrate the window of blanks without clipping, or take low spikes";
  if (given.length === 0) return `there are no blanks; at least ${FEWEST_BLANKS} are needed`;
  if (blanks.length < FEWEST_BLANKS)
    return `${blanks.length} of ${given.length} blanks gave a number; at least ${FEWEST_BLANKS} are needed: take areas over a fixed window`;
  if (!(standardDeviationOf(blanks) > 0))
    return "all blanks agree to the last digit, so they show no spread: take areas over a fixed window, or low spikes";
  return "";
}

function doubtsOfBlanks(given: readonly (number | null)[], blanks: readonly number[]): string[] {
  const doubts: string[] = [];
  const missing = given.length - blanks.length;
  if (missing > 0)
    doubts.push(
      `${missing} of ${given.length} blanks gave no number, so the spread of the others is too small`,
    );
  const zeros = blanks.filter((blank) => blank === 0).length;
  if (zeros >= 2 && !blanks.some((blank) => blank < 0))
    doubts.push(
      `${zeros} blanks are exactly zero and none is negative: say leftClipped where the instrument clips`,
    );
  return doubts;
}

function blankSpread(
  blanks: readonly number[],
  replicates: number,
  spikes: SpikeSet | undefined,
): BlankSpread {
  const n = blanks.length;
  const s = standardDeviationOf(blanks);
  const excess = spikes && spikes.values.length > 1 ? spikes.standardDeviation ** 2 - s * s : Number.NaN;
  return {
    mean: meanOf(blanks),
    standardDeviation: s,
    dof: n - 1,
    blanks: n,
    ofDifference: s * Math.sqrt(1 / replicates + 1 / n),
    relative: spikes && excess >= 0 && spikes.mean > 0 ? Math.sqrt(excess) / spikes.mean : undefined,
  };
}

/** The lowest level with enough spikes; where none has, the one with most. */
function readSpikes(spikes: LadderData["spikes"]): SpikeSet | undefined {
  list(spikes, "spikes", "spikes: [{ level: 0.02, value: 0.0218, date: … }, …]");
  if (spikes === undefined || spikes.length === 0) return undefined;
  const levels = new Map<number, LowSpike[]>();
  spikes.forEach((spike, i) => {
    if (!Number.isFinite(spike?.level) || !Number.isFinite(spike?.value)) {
      throw new IonbookError(
        "not-a-number",
        `Spike ${i + 1} has level ${String(spike?.level)} and value ${String(spike?.value)}: both must be numbers, as in { level: 0.02, value: 0.0218 }`,
      );
    }
    positive(spike.level, `The level of spike ${i + 1}`);
    levels.set(spike.level, [...(levels.get(spike.level) ?? []), spike]);
  });
  const sets = [...levels.values()].sort((a, b) => a[0].level - b[0].level);
  const most = sets.reduce((a, b) => (b.length > a.length ? b : a));
  return spikeSet(sets.find((set) => set.length >= FEWEST_SPIKES) ?? most);
}

function spikeSet(spikes: readonly LowSpike[]): SpikeSet {
  const values = spikes.map(({ value }) => value);
  const different = (texts: readonly (string | undefined)[]) =>
    texts.some((text) => text === undefined) ? undefined : new Set(texts).size;
  return {
    level: spikes[0].level,
    values,
    mean: meanOf(values),
    standardDeviation: standardDeviationOf(values),
    dates: different(spikes.map(({ date }) => date?.slice(0, 10))),
    batches: different(spikes.map(({ batch }) => batch)),
  };
}

/** Numbers are checked; a set too small for a line is no error but leaves its rungs empty. */
function readCalibration(points: LadderData["calibration"]): readonly StandardReading[] {
  if (points === undefined) return [];
  requirePoints(points, {}, "limitLadder", (list) => `limitLadder({ calibration: ${list} })`);
  try {
    checkPoints(points, "linear");
  } catch (error) {
    if (!isIonbookError(error) || !["too-few-points", "too-few-levels"].includes(error.code)) throw error;
  }
  return points;
}

function lowestAboveZero(points: readonly StandardReading[]): number | undefined {
  return levelsOf(points).find(({ concentration }) => concentration > 0)?.concentration;
}
