import { ion } from "../../ions/ion-table.js";
import { median } from "../../numeric/robust.js";
import { levelsOf } from "../response/levels.js";
import type { StandardReading } from "../response/types.js";
import { slipsOf } from "../theory/slope-slips.js";

/** A level that does not lie on the curve of all others. */
export interface SuspiciousLevel {
  readonly concentration: number;
  /** Entered concentration over what the other levels say. */
  readonly factor: number;
  /** The slip that would explain the factor, in words; undefined where none does. */
  readonly slip: string | undefined;
}

/** A level farther off than this factor, and than six times what the others scatter among neighbours. */
const NOTABLE = Math.log(1.25);
const TIMES_SCATTER = 6;
/** A slip is named when it meets the factor within this. */
const NAMED_WITHIN = Math.log(1.12);
const FEWEST = 4;

/**
 * The one level whose response factor leaves the course of the others: entered in a wrong unit, diluted wrongly or
 * exchanged. Each level in turn is held against ln(y/x) of the rest, interpolated in ln x; the one without which the
 * rest runs smoothest is named if it lies off by more than a quarter and six times the rest's own unevenness.
 * `undefined` below four levels and where nothing stands out. A slip of all levels shows in the slope alone
 * (`slopeAgainstTheory`).
 *
 * @source the toolkit's own rule; slips as `slipsOf`
 */
export function suspiciousLevel(
  points: readonly StandardReading[],
  ionName: string | undefined,
): SuspiciousLevel | undefined {
  const levels = levelsOf(points)
    .filter(({ concentration }) => concentration > 0)
    .map(({ concentration, members }) => ({
      concentration,
      response: median(members.map((i) => points[i].response)),
    }))
    .filter(({ response }) => response > 0);
  if (levels.length < FEWEST) return undefined;
  const best = levels
    .map((level, j) => standing(levels, j, level))
    .reduce((smoothest, each) => (each.unevenness < smoothest.unevenness ? each : smoothest));
  const { concentration, log, unevenness } = best;
  if (!(Math.abs(log) > NOTABLE && Math.abs(log) > TIMES_SCATTER * unevenness)) return undefined;
  return { concentration, factor: Math.exp(log), slip: slipFor(log, ionName) };
}

/** What is wrong with the level, and what to do. */
export function levelOffText({ concentration, factor, slip }: SuspiciousLevel, unit: string): string {
  const size = `${Number(Math.max(factor, 1 / factor).toPrecision(3))} times too ${factor > 1 ? "high" : "low"}`;
  const advice =
    slip === undefined ? ": look at its label and preparation" : `. That is ${slip}: correct the entry`;
  return `The level entered as ${concentration} ${unit} is ${size} for its response, judged by the other levels${advice}`;
}

interface PlainLevel {
  readonly concentration: number;
  readonly response: number;
}

/** How far a level is off the rest, and how uneven the rest is: the largest jump of ln(y/x) between neighbours. */
function standing(levels: readonly PlainLevel[], j: number, { concentration, response }: PlainLevel) {
  const rest = levels.filter((_, i) => i !== j);
  // In the order of the responses, which a wrong concentration does not disturb.
  rest.sort((a, b) => a.response - b.response);
  const factors = rest.map((level) => Math.log(level.response / level.concentration));
  let unevenness = 0;
  for (let i = 1; i < factors.length; i++)
    unevenness = Math.max(unevenness, Math.abs(factors[i] - factors[i - 1]));
  const above = rest.findIndex((level) => level.response > response);
  const expected =
    above < 0
      ? factors[factors.length - 1]
      : above === 0
        ? factors[0]
        : 0.5 * (factors[above - 1] + factors[above]);
  const log = expected - Math.log(response / concentration);
  return { concentration, log, unevenness };
}

function slipFor(log: number, ionName: string | undefined): string | undefined {
  const general = [
    { meaning: "µg/L entered as mg/L (factor 1000)", ratio: 1000 },
    { meaning: "g/L entered as mg/L (factor 1000)", ratio: 1 / 1000 },
    ...[2, 10, 100].flatMap((factor) => [
      { meaning: `factor ${factor} in a dilution`, ratio: factor },
      { meaning: `factor ${factor} in a dilution`, ratio: 1 / factor },
    ]),
  ];
  const own =
    ionName === undefined
      ? NITROGEN_AND_ITS_LIKE
      : slipsOf(ionName).map(({ meaning, ratio }) => ({
          meaning: `${meaning} (factor ${ratioText(ratio)})`,
          ratio: 1 / ratio,
        }));
  const nearest = [...own, ...general]
    .map((slip) => ({ ...slip, off: Math.abs(log - Math.log(slip.ratio)) }))
    .sort((a, b) => a.off - b.off)[0];
  return nearest.off <= NAMED_WITHIN ? nearest.meaning : undefined;
}

/** Without an ion: the conversions that are confused most often. */
const NITROGEN_AND_ITS_LIKE = (["nitrate", "nitrite", "ammonium", "phosphate", "sulfate"] as const).flatMap(
  (name) => {
    const formula = ion(name).formula;
    const slips = slipsOf(name).slice(0, 2);
    return slips.map(({ meaning, ratio }) => ({
      meaning: `${formula} ${meaning} (factor ${ratioText(ratio)})`,
      ratio: 1 / ratio,
    }));
  },
);

function ratioText(ratio: number): string {
  return String(Number(Math.max(ratio, 1 / ratio).toPrecision(3)));
}
