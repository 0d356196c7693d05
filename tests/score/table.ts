import type { JudgedArea, PeakRemark } from "./score-peaks.js";
import type { JudgedResult } from "./score-results.js";
import { coverage, median, medianRelativeU, quantified, rootMeanSquare, type Score } from "./scorer.js";

type Line = readonly (string | number)[];

/** Plain text in columns, numbers to the right. */
function columns(lines: readonly Line[]): string {
  const widths = lines[0].map((_, i) => Math.max(...lines.map((line) => String(line[i] ?? "").length)));
  return lines
    .map((line) =>
      line
        .map((cell, i) =>
          typeof cell === "number" ? String(cell).padStart(widths[i]) : String(cell).padEnd(widths[i]),
        )
        .join("  ")
        .trimEnd(),
    )
    .join("\n");
}

function short(value: number, digits = 3): string {
  return Number.isFinite(value) ? Number(value.toPrecision(digits)).toString() : "–";
}

function groupBy(
  judged: readonly JudgedResult[],
  key: (one: JudgedResult) => string,
): Map<string, JudgedResult[]> {
  const groups = new Map<string, JudgedResult[]>();
  for (const one of judged) {
    const group = groups.get(key(one));
    if (group) group.push(one);
    else groups.set(key(one), [one]);
  }
  return new Map([...groups].sort(([a], [b]) => a.localeCompare(b)));
}

/** Quantified results by a property: how many, how well covered, how far off, how sure. */
function breakdown(
  title: string,
  judged: readonly JudgedResult[],
  key: (one: JudgedResult) => string,
): string {
  const lines: Line[] = [
    [title, "n", "coverage", "rms z", "mean z", "median error %", "median u %, > 5 limits"],
  ];
  for (const [name, group] of groupBy(quantified(judged), key)) {
    const meanZ = group.reduce((sum, { z }) => sum + z, 0) / group.length;
    const error = median(
      group.filter(({ truth }) => truth > 0).map(({ found, truth }) => 100 * (found / truth - 1)),
    );
    lines.push([
      name,
      group.length,
      short(coverage(group)),
      short(rootMeanSquare(group)),
      short(meanZ, 2),
      short(error, 2),
      short(100 * medianRelativeU(group), 2),
    ]);
  }
  return columns(lines);
}

/** Areas of rightly named peaks over true areas, by ion: constant errors cancel in the calibration, spread does not. */
function areaErrors(areas: readonly JudgedArea[]): string {
  const lines: Line[] = [["area", "n", "median error %", "median |error − median| %", "median u %"]];
  for (const name of [...new Set(areas.map(({ channel, ion }) => `${channel} ${ion}`))].sort()) {
    const group = areas.filter(({ channel, ion }) => `${channel} ${ion}` === name);
    const errors = group.map(({ found, truth }) => 100 * (found / truth - 1));
    const middle = median(errors);
    const spread = median(errors.map((error) => Math.abs(error - middle)));
    const stated = median(group.map(({ u, found }) => (100 * u) / found));
    lines.push([name, group.length, short(middle, 2), short(spread, 2), short(stated, 2)]);
  }
  return columns(lines);
}

/** How many results fell into which state, and what was really there. */
function byStatus(judged: readonly JudgedResult[]): string {
  const lines: Line[] = [
    ["status", "n", "absent", "present below five limits", "present above", "coverage", "rms z"],
  ];
  for (const [status, group] of groupBy(judged, (one) => one.status)) {
    const absent = group.filter(({ truth }) => truth === 0).length;
    const above = group.filter(({ reachable }) => reachable).length;
    lines.push([
      status,
      group.length,
      absent,
      group.length - absent - above,
      above,
      short(coverage(group)),
      short(rootMeanSquare(group)),
    ]);
  }
  return columns(lines);
}

function resultLines(judged: readonly JudgedResult[]): Line[] {
  return [
    ["seed", "injection", "sample", "ion", "dilution", "true", "found", "u", "z", "status", "flags"],
    ...judged.map(
      (one): Line => [
        one.seed,
        one.injection,
        one.sample,
        one.ion,
        one.dilution,
        short(one.truth, 5),
        short(one.found, 5),
        short(one.u, 2),
        short(one.z, 3),
        one.status,
        one.flags,
      ],
    ),
  ];
}

function listed(title: string, judged: readonly JudgedResult[]): string {
  return judged.length === 0 ? "" : `${title}\n${columns(resultLines(judged.slice(0, 20)))}`;
}

function remarks(title: string, list: readonly PeakRemark[]): string {
  if (list.length === 0) return "";
  const lines = list.slice(0, 20).map(({ seed, injection, what }) => `  seed ${seed} ${injection}: ${what}`);
  return `${title} (${list.length})\n${lines.join("\n")}`;
}

/** What is asked and how it went, in a few lines. */
export function headline(title: string, score: Score): string {
  const lines: Line[] = [["", "asked", "found", ""]];
  for (const { claim, asked, value, passed } of score.criteria)
    lines.push([claim, asked, short(value), passed ? "ok" : "FAILS"]);
  const counts = `${score.investigations} investigations, ${score.peaks.injections} injections, ${score.judged.length} results, ${quantified(score.judged).length} quantified, ${score.peaks.unknowns} unidentified peaks to keep, ${score.wronglyAbove.length} called above range without need`;
  return `${title}: ${counts}\n${columns(lines)}`;
}

/** The whole table: headline, break-downs, and the offenders by name. */
export function scoreTable(title: string, score: Score): string {
  const worst = [...quantified(score.judged)].sort((a, b) => Math.abs(b.z) - Math.abs(a.z)).slice(0, 20);
  return [
    headline(title, score),
    byStatus(score.judged),
    breakdown("ion", score.judged, ({ channel, ion }) => `${channel} ${ion}`),
    areaErrors(score.peaks.areas),
    breakdown("model", score.judged, ({ model }) => model),
    breakdown("seed", score.judged, ({ seed }) => String(seed)),
    breakdown("times limit", score.judged, ({ timesLimit }) =>
      timesLimit < 5 ? "a  below 5" : timesLimit < 50 ? "b  5 – 50" : "c  above 50",
    ),
    listed("largest |z|", worst),
    listed("absent, yet quantified", score.absentQuantified),
    listed("present above five limits, yet missed", score.missed),
    listed("called above range without need", score.wronglyAbove),
    score.malformed.length === 0 ? "" : `malformed\n  ${score.malformed.slice(0, 20).join("\n  ")}`,
    remarks("unidentified peaks lost", score.peaks.lost),
    remarks("unidentified peaks given an ion's name", score.peaks.named),
    remarks("changing names", score.peaks.confused),
    remarks("false peaks", score.peaks.falsePeaks),
  ]
    .filter((part) => part !== "")
    .join("\n\n");
}
