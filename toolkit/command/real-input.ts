import { join } from "node:path";
import { readChromatogram } from "../batch/reading/chromatogram.js";
import { areaBetween } from "../peaks/integration/area-between.js";
import { type IntegratedPeak, integrateChromatogram } from "../peaks/integration/integrate-chromatogram.js";
import { type PublishedPeak, readPublishedPeaks } from "../peaks/integration/published-peaks.js";
import type {
  ComparedAnalyses,
  ComparedChromatogram,
  ComparedPeak,
  RealInput,
} from "../show/page/real-input-page.js";
import { propagate } from "../uncertainty/measured.js";
import { balancePublishedAnalysis, readPublishedAnalyses } from "../water/published/published-analyses.js";

const SECONDS = 60;

/** The real, published input of `datasets/`, evaluated by us beside its publishers' figures. */
export async function realInput(datasets: string): Promise<RealInput> {
  return {
    chromatogram: await liquidChromatogram(join(datasets, "liquid-chromatogram")),
    rivers: await riverAnalyses(join(datasets, "river-analyses")),
  };
}

async function liquidChromatogram(folder: string): Promise<ComparedChromatogram> {
  const record = await readChromatogram(join(folder, "liquid-chromatogram-8-peaks.cdf"));
  const published = await readPublishedPeaks(join(folder, "liquid-chromatogram-8-peaks.expected.csv"));
  const { baseline, peaks } = integrateChromatogram(record, { from: 0 });
  const seconds = record.time.map((time) => SECONDS * time);
  return {
    record,
    baseline: baseline.values,
    areaUnit: `${record.signalUnit}·s`,
    peaks: published.map((peak): ComparedPeak => {
      return {
        number: peak.number,
        publishedTime: peak.retentionTime / SECONDS,
        publishedArea: peak.area,
        sameLimitsArea: areaBetween(seconds, record.signal, peak.line),
        own: ownPeak(peak, peaks, record.signalUnit),
      };
    }),
    source:
      "Detector record of a liquid chromatograph, 2018, with the integration stored in its file; test fixture of a general netCDF reader, MIT licence.",
    remark: `Between the published limits, above the published straight lines, the areas are the same: that checks the arithmetic. Our own rules draw one baseline below the whole record and find ${peaks.length} peaks, those without a published area among them; where the publisher's line stood elsewhere, or a perpendicular parted what overlaps, the areas differ. Which baseline is true, this record cannot tell. The uncertainty holds noise, what a straight line between anchors would have changed, and the rule; not the difference between two ideas of where a baseline belongs.`,
  };
}

/** Our peak whose apex lies inside the published limits, the highest where there are several. */
function ownPeak(peak: PublishedPeak, peaks: readonly IntegratedPeak[], unit: string): ComparedPeak["own"] {
  const inside = peaks.filter(({ retentionTime }) => {
    const time = SECONDS * retentionTime;
    return time > peak.line.start && time < peak.line.end;
  });
  const own = inside.sort((a, b) => b.height - a.height)[0];
  if (own === undefined) return undefined;
  const { retentionTime: time, start, end, height, rule } = own;
  const area = propagate(
    (x: Readonly<Record<string, number>>) => SECONDS * x.area,
    { area: own.area },
    `${unit}·s`,
  );
  const words =
    own.shoulders.length === 0
      ? rule
      : `${rule}, with ${own.shoulders.length === 1 ? "its shoulder" : "its shoulders"}`;
  return { time, start, end, height, area, rule: words };
}

async function riverAnalyses(folder: string): Promise<ComparedAnalyses> {
  const analyses = await readPublishedAnalyses(join(folder, "usgs-ion-balance-22.csv"));
  return {
    analyses: analyses.map((published) => ({ published, own: balancePublishedAnalysis(published) })),
    source: "U.S. Geological Survey, stream station 05079250, 2002 to 2004; public domain (CC0).",
    remark:
      "The published table carries charges in meq/L; ours go through mg/L and back, so equal sums check conversions, charges and molar masses together. The first analysis has no alkalinity, hence its large difference: published like that, and balanced like that here.",
  };
}
