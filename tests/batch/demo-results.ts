// The invented demonstration batch evaluated once for all test files of a process: results are readonly.
import { fileURLToPath } from "node:url";
import { quantify } from "../../toolkit/batch/quantify/quantify.js";
import { openBatch } from "../../toolkit/batch/reading/open-batch.js";
import type { Results } from "../../toolkit/batch/types.js";

/** Folder of both channels. */
export const DEMO_FOLDER = fileURLToPath(new URL("../../datasets/road-salt-in-wells/", import.meta.url));

let both: Promise<Results> | undefined;

/** Anions and cations as one investigation. */
export function demoResults(): Promise<Results> {
  both ??= Promise.all(["anions", "cations"].map((channel) => openBatch(`${DEMO_FOLDER}${channel}`))).then(
    (batches) => quantify(batches),
  );
  return both;
}
