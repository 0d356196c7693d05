import type { HostPeak } from "../detection/shoulders.js";
import { integrationWindow } from "../shape/integration-window.js";
import type { HiddenPartner } from "./hidden-partners.js";
import type { PlacedPeak } from "./placed-peak.js";
import type { RecordRegion } from "./record-region.js";
import type { HiddenRider } from "./riders-over-profile.js";

/** A peak of the result with its place, and what was decided about a partner without a maximum. */
export interface PartedPeak {
  readonly host: HostPeak;
  readonly placed: PlacedPeak;
  readonly parting?: {
    readonly accepted: boolean;
    /** Whether this is the partner itself. */
    readonly own: boolean;
    /** Of the partner, signal × samples. */
    readonly area: number;
    readonly because: string;
  };
}

/** The found peaks and their accepted partners, in order of time, each with the window that its own shape asks for. */
export function partPeaks(
  region: RecordRegion,
  hosts: readonly HostPeak[],
  placed: readonly PlacedPeak[],
  partners: readonly HiddenPartner[],
): readonly PartedPeak[] {
  const all = hosts.flatMap((host, k): PartedPeak[] => {
    const partner = partners.find((each) => each.host === k);
    if (partner === undefined) return [{ host, placed: placed[k] }];
    const { accepted, area, because } = partner;
    if (!accepted) return [{ host, placed: placed[k], parting: { accepted, own: false, area, because } }];
    return [
      {
        host: withoutNearest(host, region.start + partner.apex * region.interval),
        placed: inOwnWindow(placed[k], placed[k].apex, region.y.length),
        parting: { accepted, own: false, area, because },
      },
      {
        host: partnerPeak(region, host, partner),
        placed: inOwnWindow(placed[k], Math.round(partner.apex), region.y.length),
        parting: { accepted, own: true, area, because },
      },
    ];
  });
  return all.sort((a, b) => a.placed.apex - b.placed.apex);
}

/** The same with the riders that show over a profile alone, each in the window of its own shape. */
export function addRiders(
  region: RecordRegion,
  peaks: readonly PartedPeak[],
  riders: readonly HiddenRider[],
  shapeAt: (index: number) => Pick<PlacedPeak, "sigma" | "tau">,
): readonly PartedPeak[] {
  const added = riders.map(({ giant, apex, height, area, because }): PartedPeak => {
    const { sigma, tau } = shapeAt(apex);
    const bare = { apex, sigma, tau, present: true, sumPerFit: 1, ownHeight: height };
    return {
      host: partnerPeak(region, peaks[giant].host, { apex, height }),
      placed: inOwnWindow(bare, apex, region.y.length),
      parting: { accepted: true, own: true, area, because },
    };
  });
  return [...peaks, ...added].sort((a, b) => a.placed.apex - b.placed.apex);
}

function inOwnWindow(peak: PlacedPeak, apex: number, length: number): PlacedPeak {
  return { ...peak, apex, window: integrationWindow(apex, peak, 1, length) };
}

function withoutNearest(host: HostPeak, time: number): HostPeak {
  const off = (shoulder: number) => Math.abs(shoulder - time);
  const [, ...others] = [...host.shoulders].sort((a, b) => off(a) - off(b));
  return { ...host, shoulders: others.sort((a, b) => a - b) };
}

/** As `findPeaks` would describe it; limits follow from its area. */
function partnerPeak(
  { start, interval }: RecordRegion,
  { retentionTime, height, signalToNoise }: HostPeak,
  partner: Pick<HiddenPartner, "apex" | "height">,
): HostPeak {
  return {
    retentionTime: start + partner.apex * interval,
    height: partner.height,
    start: start + partner.apex * interval,
    end: start + partner.apex * interval,
    signalToNoise: (partner.height * signalToNoise) / height,
    shoulderOf: retentionTime,
    shoulders: [],
  };
}
