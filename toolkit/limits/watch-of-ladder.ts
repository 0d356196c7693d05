import type { BlankWatch, BlankWatchData } from "./blank-watch-types.js";
import { FEWEST_BLANKS, type LadderContext } from "./ladder-data.js";
import type { ChosenLimits, LimitDefinition, LimitRung } from "./ladder-types.js";
import { watchBlanks } from "./watch-blanks.js";

/** Their critical value counts from zero as a blank does, whether or not results have the blanks' mean subtracted. */
const FROM_ZERO: readonly LimitDefinition[] = ["blank-3s", "clinical", "method-detection-limit"];
/** Levels of low standards that are one level, relative. */
const SAME_LEVEL = 0.05;

/**
 * The new blanks of a ladder held against the limits in force; without new ones the trend of its own, where their places
 * are known. Undefined where there is nothing to watch or nothing in force.
 */
export function watchOfLadder(
  context: LadderContext,
  rungs: readonly LimitRung[],
  chosen: ChosenLimits | undefined,
  alarm: number | undefined,
): BlankWatch | undefined {
  const { data, unit, alpha, blankCorrected, spread } = context;
  const { newBlanks, blankPlaces } = data;
  const blanks = newBlanks ?? (blankPlaces === undefined ? undefined : data.blanks);
  if (blanks === undefined || blanks.length === 0) return undefined;
  if (chosen === undefined || chosen.unit !== unit) return undefined;
  const rung = rungs.find(({ id }) => id === chosen.definition);
  const onBlanks = rung?.from === "blanks" || rung?.from === "blanks and spikes";
  const offset = blankCorrected && spread && !FROM_ZERO.includes(chosen.definition) ? spread.mean : 0;
  const common: BlankWatchData = {
    unit,
    ion: data.ion,
    blanks,
    at: blankPlaces,
    criticalValue: chosen.criticalValue + offset,
    definition: chosen.name,
    lowStandards: lowStandardsOf(context),
  };
  const own = newBlanks === undefined && onBlanks;
  const earlier = newBlanks !== undefined && usable(context) ? context.blanks : undefined;
  return watchBlanks({ ...common, own, earlier }, { alpha, alarm });
}

function usable({ blanks, spread }: LadderContext): boolean {
  return blanks.length >= FEWEST_BLANKS && spread !== undefined;
}

/** New low standards of the level that the limits use; a level a little off is brought to it in proportion. */
function lowStandardsOf({ data, spikes }: LadderContext): BlankWatchData["lowStandards"] {
  const { newSpikes } = data;
  if (newSpikes === undefined || spikes === undefined) return undefined;
  if (spikes.values.length < FEWEST_BLANKS || !(spikes.standardDeviation > 0)) return undefined;
  const later = newSpikes.flatMap(({ level, value }) =>
    Math.abs(level / spikes.level - 1) <= SAME_LEVEL ? [(value * spikes.level) / level] : [],
  );
  return { earlier: spikes.values, later };
}
