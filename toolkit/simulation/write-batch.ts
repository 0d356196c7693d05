import { existsSync } from "node:fs";
import { mkdir, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { IonbookError } from "../errors.js";
import type { SimulatedBatch } from "./simulate-batch.js";

/**
 * Writes a simulated batch: one folder a channel as an analyst would have it, and `truth.json` beside them.
 * Returns the folders of the channels.
 *
 * @param folder is created; existing files of a former batch are replaced only with `replace`
 * @throws IonbookError "already-exists" when a channel's folder is there and `replace` is not set
 */
export async function writeBatch(
  simulated: SimulatedBatch,
  folder: string,
  options: { readonly replace?: boolean } = {},
): Promise<readonly string[]> {
  const folders = simulated.channels.map((channel) => join(folder, channel.folder));
  const taken = folders.find((path) => existsSync(path));
  if (taken !== undefined && !options.replace) {
    throw new IonbookError(
      "already-exists",
      `${taken} is already there: choose another folder, or set replace: true`,
    );
  }
  for (const [i, { files }] of simulated.channels.entries()) {
    for (const [path, content] of files) {
      const target = join(folders[i], path);
      await mkdir(dirname(target), { recursive: true });
      await writeFile(target, content);
    }
  }
  await writeFile(join(folder, "truth.json"), `${JSON.stringify(simulated.truth, null, 1)}\n`);
  return folders;
}
