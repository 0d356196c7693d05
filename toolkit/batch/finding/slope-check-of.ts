import {
  type SlopeCheck,
  type SlopeCheckOptions,
  type SlopePoint,
  slopeAgainstTheory,
} from "../../calibration/theory/slope-check.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { exactly } from "../../uncertainty/measured.js";
import type { Channel, IonCalibration, Results } from "../types.js";

const KNOWN = { loop: true, flow: true, uStandard: true, uConductivity: true, previousGamma: true } as const;

/**
 * The slopes of one channel's calibrations against ionic theory, all read at one area: the geometric middle of the areas
 * that all ranges share, or the nearest end of an ion's range where they share none. The flow is that of batch.json.
 */
export function slopeCheckOf(
  results: Results,
  channel?: Channel,
  options: SlopeCheckOptions = {},
): SlopeCheck {
  requireKnownOptions(options, KNOWN, "slopeCheck");
  const chosen = channelOf(results, channel);
  const calibrations = results.calibrations.filter((each) => each.channel === chosen);
  const ends = calibrations.map(({ curve, low, high }) => [curve.respond(low), curve.respond(high)] as const);
  const common = Math.sqrt(
    Math.max(...ends.map(([lowest]) => lowest)) * Math.min(...ends.map(([, highest]) => highest)),
  );
  const points = calibrations.map((each, i) =>
    pointAt(each, Math.min(Math.max(common, ends[i][0]), ends[i][1])),
  );
  const flow = results.batches.find(({ method }) => method.channel === chosen)?.method.other.flow;
  return slopeAgainstTheory(points, typeof flow === "number" ? { flow, ...options } : options);
}

function channelOf(results: Results, channel: Channel | undefined): Channel {
  const calibrated = [...new Set(results.calibrations.map((each) => each.channel))];
  const [only, ...others] = calibrated;
  if (channel === undefined && only !== undefined && others.length === 0) return only;
  if (channel !== undefined && calibrated.includes(channel)) return channel;
  throw new IonbookError(
    "no-channel",
    channel === undefined
      ? `slopes are compared within one channel: slopeCheck("anion") or slopeCheck("cation")`
      : `slopeCheck: no calibrations of channel "${channel}"; there are those of ${calibrated.map((each) => `"${each}"`).join(" and ") || "none"}`,
  );
}

function pointAt({ ion, curve }: IonCalibration, area: number): SlopePoint {
  return { ion, area, concentration: curve.concentration(exactly(area, "µS/cm·min")) };
}
