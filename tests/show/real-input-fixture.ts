// The real published data of datasets/, integrated by a plain trapezoid so that the page can be drawn without the
// toolkit's own peak rules. What the page's numbers are worth is tested where those rules are tested.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { readChromatogram } from "../../toolkit/batch/reading/chromatogram.js";
import type { ComparedPeak, RealInput } from "../../toolkit/show/page/real-input-page.js";
import { estimateBaseline } from "../../toolkit/signal/baseline.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import {
  balancePublishedAnalysis,
  readPublishedAnalyses,
} from "../../toolkit/water/published/published-analyses.js";

export async function realInputFixture(
  root = new URL("../../datasets/", import.meta.url),
): Promise<RealInput> {
  const file = (name: string): string => fileURLToPath(new URL(name, root));
  const record = await readChromatogram(file("liquid-chromatogram/liquid-chromatogram-8-peaks.cdf"));
  const baseline = estimateBaseline(record, { from: 0 }).values;
  const rows = readFileSync(file("liquid-chromatogram/liquid-chromatogram-8-peaks.expected.csv"), "utf8")
    .trim()
    .split("\n");
  const names = rows[0].split(",");
  const peaks = rows.slice(1).map((line): ComparedPeak => {
    const cells = line.split(",").map(Number);
    const cell = (name: string): number => cells[names.indexOf(name)];
    const [start, end, time] = [cell("start_s") / 60, cell("end_s") / 60, cell("reported_rt_s") / 60];
    let area = 0;
    let height = 0;
    for (let index = 1; index < record.time.length; index += 1) {
      if (record.time[index - 1] < start || record.time[index] > end) continue;
      const above = record.signal[index] - baseline[index];
      area +=
        ((above + record.signal[index - 1] - baseline[index - 1]) / 2) *
        (record.time[index] - record.time[index - 1]) *
        60;
      height = Math.max(height, above);
    }
    const own = {
      time,
      start,
      end,
      height,
      area: measured(area, "mAU·s", { u: 0.002 * Math.abs(area) }),
      rule: "trapezoid",
    };
    return {
      number: cell("peak"),
      publishedTime: time,
      publishedArea: cell("reported_area"),
      sameLimitsArea: cell("trapezoid_area_same_baseline"),
      own,
    };
  });
  const published = await readPublishedAnalyses(file("river-analyses/usgs-ion-balance-22.csv"));
  return {
    chromatogram: {
      record,
      baseline,
      peaks,
      areaUnit: "mAU·s",
      source:
        "Detector record of a liquid chromatograph (2018), test fixture of a general netCDF reader, MIT licence.",
      remark:
        "The publisher drew straight lines under groups of peaks; the trapezoids here stand above another baseline.",
    },
    rivers: {
      analyses: published.map((each) => ({ published: each, own: balancePublishedAnalysis(each) })),
      source: "U.S. Geological Survey, stream station 05079250, 2002 to 2004, CC0.",
      remark: "The first sample has no alkalinity, hence its difference of 87 %.",
    },
  };
}
