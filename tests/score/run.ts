import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { quantifyFolders } from "./quantify-command.js";
import { readResultFiles } from "./result-files.js";
import { joinScores, type Score, scoreInvestigation } from "./scorer.js";
import type { BatchGenerator } from "./truth.js";

/**
 * Fresh batches of the seeds, evaluated (by the built command unless told otherwise) and scored. Data are thrown away afterwards, unless
 * the environment variable SCORE_KEEP names a folder to leave them in for a look.
 */
export async function scoreSeeds(
  name: string,
  generate: BatchGenerator,
  seeds: readonly number[],
  evaluate: Evaluate = quantifyFolders,
): Promise<Score> {
  const keep = process.env.SCORE_KEEP;
  const scores: Score[] = [];
  for (const seed of seeds) {
    const folder = mkdtempSync(join(tmpdir(), "ionbook-score-"));
    try {
      const place = keep === undefined ? folder : join(keep, `${name} ${seed}`);
      scores.push(await scoreSeed(generate, seed, place, evaluate));
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }
  return joinScores(scores);
}

/** Evaluates the folders of an investigation and leaves the tables in `out`. */
export type Evaluate = (folders: readonly string[], out: string) => void | Promise<void>;

/** One seed, with data, truth and results under `folder`. */
async function scoreSeed(
  generate: BatchGenerator,
  seed: number,
  folder: string,
  evaluate: Evaluate,
): Promise<Score> {
  const data = join(folder, "data");
  const results = join(folder, "results");
  mkdirSync(data, { recursive: true });
  const truth = generate(seed, data);
  writeFileSync(join(folder, "truth.json"), JSON.stringify(truth));
  await evaluate(
    truth.batches.map((batch) => batch.folder),
    results,
  );
  return scoreInvestigation(truth, readResultFiles(results));
}

/** Seeds of the full size: `SCORE_SEEDS=1,2` shortens it for a look. */
export function fullSeeds(): readonly number[] {
  return (process.env.SCORE_SEEDS ?? "1,2,3,4,5").split(",").map(Number);
}
