import type { MajorProfile } from "../../peaks/riders/major-profile.js";
import { signalAxis } from "../trace/read-record.js";
import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

const WIDTH = 560;
const HEIGHT = 230;
/** Half-width of the picture in σ before the apex and behind it: where a profile is used. */
const BEFORE = 10;
const BEHIND = 60;

/** A major's profile on a logarithmic scale, down to its noise; values below the scale are left open. */
export function profileChart(profile: MajorProfile): ChartSpec {
  const { retentionTime, sigma, height, white, chromatogram } = profile;
  const end = profile.start + (profile.values.length - 1) * profile.interval;
  const span = [
    Math.max(profile.start, retentionTime - BEFORE * sigma),
    Math.min(end, retentionTime + BEHIND * sigma),
  ];
  const floor = Math.max(white / 3, height * 1e-7);
  const points = columns(profile, span[0], span[1]).map(({ t, y }) => ({ t, y: y > floor ? y : null }));
  const x = {
    field: "t",
    type: "quantitative",
    scale: { domain: span, nice: false, zero: false },
    axis: { title: "time / min", tickCount: 7 },
  };
  const y: SpecPart = {
    field: "y",
    type: "quantitative",
    scale: { type: "log", domain: [floor, height * 1.5], nice: false },
    axis: {
      title: signalAxis(chromatogram.signalUnit),
      values: powers(floor, height * 1.5),
      format: "~g",
      grid: true,
    },
  };
  const share = [1e-2, 1e-3, 1e-4].filter((part) => part * height > 2 * white);
  return chartSpec({
    width: WIDTH,
    height: HEIGHT,
    layer: [
      {
        data: { values: points },
        mark: { type: "line", color: INK.ink, strokeWidth: 1.3, clip: true },
        encoding: { x, y },
      },
      ...levelLine(white, "noise", y),
      ...share.flatMap((part) => levelLine(part * height, `${Number((100 * part).toPrecision(1))} %`, y)),
    ],
  });
}

/** One value a pixel column: the mean of the values in it. */
function columns({ values, start, interval }: MajorProfile, from: number, to: number) {
  const first = Math.max(0, Math.ceil((from - start) / interval - 1e-9));
  const last = Math.min(values.length - 1, Math.floor((to - start) / interval + 1e-9));
  const stride = Math.max(1, Math.floor((last - first + 1) / (2 * WIDTH)));
  const points: { readonly t: number; readonly y: number }[] = [];
  for (let i = first; i + stride <= last + 1; i += stride) {
    let sum = 0;
    for (let j = i; j < i + stride; j += 1) sum += values[j];
    points.push({ t: start + (i + 0.5 * (stride - 1)) * interval, y: sum / stride });
  }
  return points;
}

function levelLine(at: number, name: string, y: SpecPart): readonly SpecPart[] {
  const values = [{ y: at, name }];
  const rule = { type: "rule", color: INK.soft, strokeDash: [2, 3], strokeWidth: 1, x: 0, x2: WIDTH };
  return [
    { data: { values }, mark: rule, encoding: { y } },
    texts(values, "name", { align: "left", x: WIDTH + 5, fill: INK.soft, fontSize: 10.5 }, { y }),
  ];
}

function powers(low: number, high: number): readonly number[] {
  const places: number[] = [];
  for (let power = Math.ceil(Math.log10(low)); power <= Math.log10(high); power += 1)
    places.push(Number(`1e${power}`));
  return places;
}
