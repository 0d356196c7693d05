import { besidePlainChain } from "./beside-plain-chain.js";
import type { JudgedPeak, JudgedScene } from "./judge.js";
import { coverageRows, type Row, scoreRows, shortShare } from "./rows.js";
import { sizeOf } from "./scene.js";
import { type Claimed, chiSquared, errorsOf, isClaimed, shareOf } from "./statistics.js";

/** Plain text in columns. */
export function columns(lines: readonly (readonly string[])[]): string {
  const widths = lines[0].map((_, i) => Math.max(...lines.map((line) => line[i]?.length ?? 0)));
  return lines
    .map((line) =>
      line
        .map((cell, i) => cell.padEnd(widths[i]))
        .join("  ")
        .trimEnd(),
    )
    .join("\n");
}

export function rowTable(title: string, rows: readonly Row[]): string {
  const lines = rows.map(({ name, n, value, accept, pass }) => [
    name,
    String(n),
    value,
    accept,
    pass === undefined ? "" : pass ? "ok" : "FAILS",
  ]);
  return columns([[title, "n", "found", "accepted", ""], ...lines]);
}

/** Claimed areas by a property: count, errors, coverage of the 95 % interval, mean z². */
function breakdown(title: string, peaks: readonly JudgedPeak[], key: (one: JudgedPeak) => string): string {
  const claimed = peaks.filter(isClaimed);
  const groups = new Map<string, Claimed[]>();
  for (const one of claimed) groups.set(key(one), [...(groups.get(key(one)) ?? []), one]);
  const lines = [...groups]
    .sort(([a], [b]) => a.localeCompare(b))
    .map(([name, group]) => {
      const { n, median, p90 } = errorsOf(group);
      return [
        name,
        String(n),
        `${median.toFixed(2)} / ${p90.toFixed(2)}`,
        shortShare(shareOf(group, ({ found }) => found.inside)),
        chiSquared(group).toFixed(2),
      ];
    });
  return columns([[title, "n", "median / p90 %", "95 % interval", "mean z²"], ...lines]);
}

function worst(peaks: readonly JudgedPeak[], count: number): string {
  const list = peaks
    .filter(isClaimed)
    .sort((a, b) => Math.abs(b.found.z) - Math.abs(a.found.z))
    .slice(0, count)
    .map(({ run, truth, found }) => [
      run,
      truth.ion,
      `${truth.situation}, S/N ${truth.signalToNoise.toPrecision(3)}`,
      truth.area.toPrecision(4),
      `${(100 * found.error).toFixed(2)} %`,
      found.z.toFixed(1),
      found.peak.rule,
      budget(found.peak),
    ]);
  return columns([["largest |z|", "ion", "", "true area", "error", "z", "rule", "u budget, %"], ...list]);
}

/** The sources of an area's u, in % of the area, without the names of record and peak. */
export function budget({ area }: Claimed["found"]["peak"]): string {
  return area
    .budget()
    .map(
      ({ source, contribution }) =>
        `${source.split(":")[0]} ${((100 * contribution) / Math.abs(area.value)).toPrecision(2)}`,
    )
    .join(", ");
}

function strays(scenes: readonly JudgedScene[]): string {
  const list = scenes.flatMap((scene) => scene.strays);
  const lines = list
    .slice(0, 40)
    .map(
      ({ run, peak }) =>
        `  ${run}: ${peak.retentionTime.toFixed(3)} min, S/N ${peak.signalToNoise.toFixed(1)}`,
    );
  return [`false peaks (${list.length})`, ...lines].join("\n");
}

function missed(peaks: readonly JudgedPeak[]): string {
  const list = peaks.filter(
    ({ truth, found }) => found === undefined && truth.situation === "isolated" && truth.signalToNoise >= 10,
  );
  const lines = list
    .slice(0, 40)
    .map(
      ({ run, truth }) =>
        `  ${run}: ${truth.ion} at ${truth.apex.toFixed(3)} min, S/N ${truth.signalToNoise.toFixed(1)}`,
    );
  return [`isolated peaks of S/N ≥ 10 not found (${list.length})`, ...lines].join("\n");
}

function identities(scenes: readonly JudgedScene[]): string {
  const list = scenes.flatMap(({ identity }) => [
    ...identity.wrong,
    ...identity.unknownsNamed,
    ...identity.missed,
  ]);
  return [`names (${list.length})`, ...list.slice(0, 40).map((line) => `  ${line}`)].join("\n");
}

/** Everything: the table of the handbook, the coverage run, break-downs and offenders by name. */
export function scenesTable(scenes: readonly JudgedScene[]): string {
  const peaks = scenes
    .flatMap((scene) => scene.peaks)
    .filter(({ truth }) => sizeOf(truth.signalToNoise) !== "below");
  const ofStratum = ({ truth }: JudgedPeak) => `${truth.situation}, ${sizeOf(truth.signalToNoise)}`;
  return [
    rowTable("score", scoreRows(scenes)),
    rowTable("coverage run", coverageRows(scenes)),
    columns(besidePlainChain(scenes)),
    breakdown("stratum", peaks, ofStratum),
    breakdown("stratum, noise", peaks, (one) => `${ofStratum(one)}, ${one.scene.noise}`),
    breakdown(
      "situation, family, tail",
      peaks,
      ({ truth, scene }) => `${truth.situation}, ${scene.family}, ${scene.tail}`,
    ),
    breakdown("rule", peaks, ({ truth, found }) => `${truth.situation}, ${found?.peak.rule}`),
    breakdown("ion", peaks, ({ truth, scene }) => `${scene.family}, ${truth.ion}`),
    worst(peaks, 40),
    missed(peaks),
    strays(scenes),
    identities(scenes),
  ].join("\n\n");
}
