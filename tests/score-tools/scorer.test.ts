import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { readResultFiles } from "../score/result-files.js";
import { joinScores, type Score, scoreInvestigation } from "../score/scorer.js";
import { scoreTable } from "../score/table.js";
import { type Faults, inventedTruth, writeInventedResults } from "./invented-truth.js";

const scratch = mkdtempSync(join(tmpdir(), "ionbook-scorer-"));
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

let folders = 0;

function scoreWith(faults: Faults): Score {
  const truth = inventedTruth();
  const folder = join(scratch, String(folders++));
  writeInventedResults(folder, truth, faults);
  return scoreInvestigation(truth, readResultFiles(folder));
}

function failures(score: Score): string[] {
  return score.criteria.filter(({ passed }) => !passed).map(({ claim }) => claim);
}

describe("the score", () => {
  it("passes an evaluation whose u is its real scatter", () => {
    const score = scoreWith({});
    expect(failures(score)).toEqual([]);
    expect(score.passed).toBe(true);
    expect(score.peaks.unknowns).toBe(50);
  });

  const interval = "truth inside the 95 % interval, quantified results";
  const rms = "root mean square of (found − true)/u";
  it.each<[string, Faults, string[]]>([
    ["u half of the scatter", { honesty: 0.5 }, [interval, rms]],
    ["u twice the scatter", { honesty: 2, scatter: 0.005 }, [interval, rms]],
    ["honest but wide intervals", { scatter: 0.03 }, ["median u/value above five limits"]],
    ["an absent ion quantified", { quantifyAbsent: true }, ["absent ions quantified"]],
    ["a present ion missed", { missOne: true }, ["ions above five limits missed"]],
    [
      "an unidentified peak under an ion's name",
      { nameStranger: true },
      ["unidentified peaks given an ion's name"],
    ],
    ["an unidentified peak dropped", { loseStranger: true }, ["unidentified peaks lost"]],
    ["a name that changes", { wanderingName: true }, ["unidentified peaks under changing names"]],
    ["peaks where nothing is", { inventPeaks: true }, ["false peaks per injection"]],
    ["a missing row", { dropRow: true }, ["rows missing, doubled or in a wrong unit"]],
    ["another unit than asked for", { wrongUnit: true }, ["rows missing, doubled or in a wrong unit"]],
  ])("fails on %s, and on that alone", (_, faults, expected) => {
    expect(failures(scoreWith(faults))).toEqual(expected);
  });

  it("counts a result above the range apart from a missed one", () => {
    const score = scoreWith({ aboveRange: true });
    expect(failures(score)).toEqual([]);
    expect(score.wronglyAbove.length).toBe(1);
  });

  it("of several investigations counts every result once and fails when one fails", () => {
    const good = scoreWith({});
    const both = joinScores([good, scoreWith({ missOne: true })]);
    expect(both.judged.length).toBe(2 * good.judged.length);
    expect(both.investigations).toBe(2);
    expect(failures(both)).toEqual(["ions above five limits missed"]);
  });

  it("prints a table that names what failed and where", () => {
    const text = scoreTable("made up", scoreWith({ missOne: true, nameStranger: true }));
    expect(text).toMatch(/ions above five limits missed +0 +1 +FAILS/);
    expect(text).toMatch(/A3: stranger at 9\.300 min, 50\.0 nS\/cm is called nitrate/);
    expect(text).toMatch(/anion chloride +1(49|50) /);
  });
});
