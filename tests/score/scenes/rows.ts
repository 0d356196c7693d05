import type { JudgedPeak, JudgedScene } from "./judge.js";
import { riderRows } from "./rider-rows.js";
import { NOISE_KINDS, type NoiseKind, type Situation, type Size, sizeOf } from "./scene.js";
import {
  type Claimed,
  chiSquared,
  errorsOf,
  isClaimed,
  quantile,
  type Share,
  shareOf,
} from "./statistics.js";

/** One line of the table: what was asked and what came out. Lines without `pass` are for a look only. */
export interface Row {
  readonly name: string;
  readonly n: number;
  readonly value: string;
  readonly accept: string;
  readonly pass?: boolean;
}

/** The instrument that the handbook's accept column means (SIMULATOR §1.8). */
const USUAL_NOISE: NoiseKind = "white + 1/f";
const COVERED = { low: 0.92, high: 0.98 };
/** A share of 0.95 is known to 0.015 from so many; from fewer, its place in the accepted range says little. */
const ENOUGH = 200;

export function shortShare({ share, standardError }: Share): string {
  return `${share.toFixed(3)} ± ${standardError.toFixed(3)}`;
}

function percent(value: number, digits = 2): string {
  return Number.isFinite(value) ? value.toFixed(digits) : "–";
}

/** All rows of handbook SIMULATOR §6 that areas, detection and names give. */
export function scoreRows(scenes: readonly JudgedScene[]): readonly Row[] {
  const peaks = scenes
    .flatMap((scene) => scene.peaks)
    .filter(({ truth }) => sizeOf(truth.signalToNoise) !== "below");
  return [
    ...detectionRows(scenes, peaks),
    ...areaRows(peaks.filter(isClaimed)),
    ...calibrationRows(peaks.filter(isClaimed)),
    ...riderRows(peaks, USUAL_NOISE),
    refusalRow(peaks),
    ...identityRows(scenes),
  ];
}

function detectionRows(scenes: readonly JudgedScene[], peaks: readonly JudgedPeak[]): readonly Row[] {
  const clear = (situation: Situation) =>
    peaks.filter(({ truth }) => truth.situation === situation && truth.signalToNoise >= 10);
  const isolated = shareOf(clear("isolated"), ({ found }) => found !== undefined);
  const strays = scenes.reduce((sum, scene) => sum + scene.strays.length, 0);
  const runs = scenes.reduce((sum, scene) => sum + scene.runs, 0);
  const others = (["overlapped", "rider", "near dip"] as const).map((situation): Row => {
    const found = shareOf(clear(situation), (one) => one.found !== undefined);
    return { name: `found, ${situation}, S/N ≥ 10`, n: found.n, value: shortShare(found), accept: "" };
  });
  return [
    {
      name: "detection: found, isolated, S/N ≥ 10",
      n: isolated.n,
      value: shortShare(isolated),
      accept: "≥ 0.98",
      pass: isolated.share >= 0.98,
    },
    ...others,
    {
      name: "false peaks per run",
      n: runs,
      value: (strays / runs).toFixed(3),
      accept: "≤ 0.10",
      pass: strays / runs <= 0.1,
    },
  ];
}

/** Bias over all kinds of noise; spread for the usual instrument, where it is not the noise that decides. */
function areaRows(peaks: readonly Claimed[]): readonly Row[] {
  const limits: Partial<Record<Size, number>> = { trace: 4, medium: 1 };
  const rows: Row[] = [];
  for (const situation of ["isolated", "overlapped", "near dip"] as const) {
    for (const size of ["trace", "small", "medium", "major"] as const) {
      const group = of(peaks, situation, size);
      if (group.length === 0) continue;
      const { n, median } = errorsOf(group);
      const limit = limits[size];
      const raw = quantile(
        group.map(({ found }) => 100 * (found.raw - 1)),
        0.5,
      );
      rows.push({
        name: `area bias, ${situation}, ${size}`,
        n,
        value: `${percent(median)} % (undivided ${percent(raw)} %)`,
        accept: limit === undefined ? "" : `± ${limit} %`,
        ...(limit === undefined ? {} : { pass: Math.abs(median) <= limit }),
      });
    }
  }
  for (const situation of ["isolated", "overlapped", "near dip"] as const) {
    for (const size of ["trace", "small", "medium", "major"] as const) {
      const spreads = NOISE_KINDS.map((kind) => errorsOf(of(peaks, situation, size, kind)));
      const usual = spreads[NOISE_KINDS.indexOf(USUAL_NOISE)];
      if (usual.n === 0) continue;
      rows.push({
        name: `area spread p90, ${situation}, ${size}`,
        n: usual.n,
        value: `${percent(usual.p90)} % (white ${percent(spreads[0].p90)}, 3× 1/f ${percent(spreads[2].p90)})`,
        accept: size === "medium" ? "≤ 1 %" : "",
        ...(size === "medium" ? { pass: usual.p90 <= 1 } : {}),
      });
    }
  }
  return rows;
}

function of(
  peaks: readonly Claimed[],
  situation: Situation,
  size?: Size,
  noise?: NoiseKind,
): readonly Claimed[] {
  return peaks.filter(
    ({ truth, scene }) =>
      truth.situation === situation &&
      (size === undefined || sizeOf(truth.signalToNoise) === size) &&
      (noise === undefined || scene.noise === noise),
  );
}

function calibrationRows(peaks: readonly Claimed[]): readonly Row[] {
  return (["isolated", "overlapped", "rider", "near dip"] as const).flatMap((situation) =>
    NOISE_KINDS.flatMap((noise): readonly Row[] => {
      const group = of(peaks, situation, undefined, noise);
      if (group.length === 0) return [];
      const within = shareOf(group, ({ found }) => found.insideTwo);
      return [
        {
          name: `u: within ± 2u, ${situation}, ${noise}`,
          n: within.n,
          value: `${shortShare(within)}, mean z² ${chiSquared(group).toFixed(2)}`,
          ...(within.n < ENOUGH
            ? { accept: "too few to judge" }
            : { accept: "0.92 – 0.98", pass: isCovered(within.share) }),
        },
      ];
    }),
  );
}

export function isCovered(share: number): boolean {
  return share >= COVERED.low && share <= COVERED.high;
}

/** The nine cells of the coverage run: 95 % intervals by situation and noise. */
export function coverageRows(scenes: readonly JudgedScene[]): readonly Row[] {
  const peaks = scenes
    .flatMap((scene) => scene.peaks)
    .filter(isClaimed)
    .filter(({ truth }) => sizeOf(truth.signalToNoise) !== "below");
  return (["isolated", "overlapped", "rider"] as const).flatMap((situation) =>
    NOISE_KINDS.map((noise): Row => {
      const group = of(peaks, situation, undefined, noise);
      const inside = shareOf(group, ({ found }) => found.inside);
      const alone = shareOf(group, ({ found }) => found.insideAlone);
      return {
        name: `95 % interval, ${situation}, ${noise}`,
        n: inside.n,
        value: `${inside.hits}/${inside.n} = ${shortShare(inside)} (standards taken as exact ${alone.share.toFixed(3)})`,
        accept: "0.92 – 0.98",
        pass: isCovered(inside.share),
      };
    }),
  );
}

/** A rider further off than this must have been refused. */
const REFUSED_ABOVE = 0.3;

function refusalRow(peaks: readonly JudgedPeak[]): Row {
  const bad = peaks.filter(
    ({ truth, found }) =>
      truth.situation === "rider" && found !== undefined && Math.abs(found.error) > REFUSED_ABOVE,
  );
  const refused = shareOf(bad, ({ found }) => found?.refused === true);
  const good = peaks.filter(
    ({ truth, found }) =>
      truth.situation === "rider" && found !== undefined && Math.abs(found.error) <= REFUSED_ABOVE,
  );
  const needless = shareOf(good, ({ found }) => found?.refused === true);
  return {
    name: "refusal: riders off by more than 30 % refused",
    n: bad.length,
    value: `${shortShare(refused)} (of those within 30 %: ${needless.hits}/${needless.n} refused)`,
    accept: "≥ 0.95",
    pass: refused.share >= 0.95,
  };
}

function identityRows(scenes: readonly JudgedScene[]): readonly Row[] {
  const sum = (count: (scene: JudgedScene) => number) =>
    scenes.reduce((total, scene) => total + count(scene), 0);
  const ions = sum(({ identity }) => identity.ions);
  const unknowns = sum(({ identity }) => identity.unknowns);
  const row = (name: string, count: number, n: number, limit: number): Row => ({
    name: `identity: ${name}`,
    n,
    value: `${count} = ${percent((100 * count) / n)} %`,
    accept: `≤ ${limit} %`,
    pass: (100 * count) / n <= limit,
  });
  if (ions === 0) return [];
  return [
    row(
      "wrong name",
      sum(({ identity }) => identity.wrong.length),
      ions,
      0.1,
    ),
    row(
      "missed",
      sum(({ identity }) => identity.missed.length),
      ions,
      2,
    ),
    row(
      "unknown named",
      sum(({ identity }) => identity.unknownsNamed.length),
      unknowns,
      1,
    ),
  ];
}
