import { randomBytes } from "node:crypto";
import { lstat, mkdir, rename, rm, stat, writeFile } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import { IonbookError } from "../../errors.js";

/** How a folder is to be written. */
export interface WriteOptions {
  /** Replace files that are there already. @default false */
  readonly force?: boolean;
}

/**
 * Writes files into a folder, all of them or none: they are written into a temporary folder first (beside a new
 * folder, inside one that is there) and moved when complete. Creates the folder and its parents; leaves other
 * files in it alone; on failure removes what it made and puts back what it had replaced.
 *
 * @param files - content by file name
 * @throws IonbookError `would-overwrite` naming the files that are there, unless `force`; `not-a-folder`;
 * `bad-file-name`
 */
export async function writeFolderAtomically(
  dir: string,
  files: ReadonlyMap<string, string | Uint8Array>,
  options: WriteOptions = {},
): Promise<void> {
  const folder = resolve(dir);
  const names = [...files.keys()];
  refuseStrangeNames(names, dir);
  const isThere = await checkFolder(folder, dir);
  if (isThere) await refuseToOverwrite(folder, dir, names, options.force ?? false);
  const parent = isThere ? folder : dirname(folder);
  const firstMade = await mkdir(parent, { recursive: true });
  const staging = join(parent, `.${basename(folder)}-${randomBytes(6).toString("hex")}`);
  const fresh = join(staging, "fresh");
  try {
    await mkdir(fresh, { recursive: true });
    for (const [name, content] of files) await writeFile(join(fresh, name), content);
    if (isThere) await moveInto(folder, fresh, join(staging, "replaced"), names);
    else await rename(fresh, folder);
  } catch (error) {
    if (firstMade !== undefined) await rm(firstMade, { recursive: true, force: true });
    throw error;
  } finally {
    await rm(staging, { recursive: true, force: true });
  }
}

/**
 * Refuses before any work is done what `writeFolderAtomically` would refuse after it: files that are there already.
 *
 * @throws IonbookError as `writeFolderAtomically`
 */
export async function requireRoom(
  dir: string,
  names: readonly string[],
  options: WriteOptions = {},
): Promise<void> {
  const folder = resolve(dir);
  if (await checkFolder(folder, dir)) await refuseToOverwrite(folder, dir, names, options.force ?? false);
}

function refuseStrangeNames(names: readonly string[], dir: string): void {
  const strange = names.find(
    (name) => name === "" || name !== basename(name) || name === "." || name === "..",
  );
  if (strange === undefined) return;
  throw new IonbookError("bad-file-name", `"${strange}" is no plain file name: give one without a folder`, {
    file: dir,
  });
}

/** True where the folder is there; false where nothing is. */
async function checkFolder(folder: string, shown: string): Promise<boolean> {
  const found = await kindOf(folder);
  if (found === "other") {
    throw new IonbookError("not-a-folder", "this is a file: name a folder to write into", { file: shown });
  }
  return found === "folder";
}

async function kindOf(path: string): Promise<"nothing" | "folder" | "other"> {
  try {
    return (await stat(path)).isDirectory() ? "folder" : "other";
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return "nothing";
    throw error;
  }
}

async function refuseToOverwrite(
  folder: string,
  shown: string,
  names: readonly string[],
  force: boolean,
): Promise<void> {
  const there: string[] = [];
  for (const name of names) {
    const kind = await kindOf(join(folder, name));
    if (kind === "folder") {
      throw new IonbookError(
        "would-overwrite",
        `${name} is a folder there: name another folder to write into`,
        {
          file: shown,
        },
      );
    }
    if (kind === "other") there.push(name);
  }
  if (force || there.length === 0) return;
  throw new IonbookError(
    "would-overwrite",
    `${there.join(", ")} ${there.length === 1 ? "is" : "are"} there already: name another folder, ` +
      "or ask to overwrite (--force)",
    { file: shown },
  );
}

async function exists(path: string): Promise<boolean> {
  return lstat(path).then(
    () => true,
    () => false,
  );
}

/** Moves complete files into a folder; what they replace waits in `kept` and returns if a move fails. */
async function moveInto(
  folder: string,
  fresh: string,
  kept: string,
  names: readonly string[],
): Promise<void> {
  await mkdir(kept);
  const moved: string[] = [];
  const replaced: string[] = [];
  try {
    for (const name of names) {
      if (await exists(join(folder, name))) {
        await rename(join(folder, name), join(kept, name));
        replaced.push(name);
      }
      await rename(join(fresh, name), join(folder, name));
      moved.push(name);
    }
  } catch (error) {
    for (const name of moved) await rm(join(folder, name), { force: true });
    for (const name of replaced) await rename(join(kept, name), join(folder, name));
    throw error;
  }
}
