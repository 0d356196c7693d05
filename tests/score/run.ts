import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { quantifyFolders } from "./quantify-command.js";
import { readResultFiles } from "./result-files.js";
import { joinScores, type Score, scoreInvestigation } from "./scorer.js";
import type { BatchGenerator } from "./truth.js";

/**
 * Fresh batches of the seeds, evaluated by the built command and scored. Data are thrown away afterwards, unless
 * the environment variable SCORE_KEEP names a folder to leave them in for a look.
 */
export function scoreSeeds(name: string, generate: BatchGenerator, seeds: readonly number[]): Score {
  const keep = process.env.SCORE_KEEP;
  const scores = seeds.map((seed) => {
    const folder = mkdtempSync(join(tmpdir(), "ionbook-score-"));
    try {
      return scoreSeed(generate, seed, keep === undefined ? folder : join(keep, `${name} ${seed}`));
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
  return joinScores(scores);
}

/** One seed, with data, truth and results under `folder`. */
function scoreSeed(generate: BatchGenerator, seed: number, folder: string): Score {
  const data = join(folder, "data");
  const results = join(folder, "results");
  mkdirSync(data, { recursive: true });
  const truth = generate(seed, data);
  writeFileSync(join(folder, "truth.json"), JSON.stringify(truth));
  quantifyFolders(
    truth.batches.map((batch) => batch.folder),
    results,
  );
  return scoreInvestigation(truth, readResultFiles(results));
}

/** Seeds of the full size: `SCORE_SEEDS=1,2` shortens it for a look. */
export function fullSeeds(): readonly number[] {
  return (process.env.SCORE_SEEDS ?? "1,2,3,4,5").split(",").map(Number);
}
