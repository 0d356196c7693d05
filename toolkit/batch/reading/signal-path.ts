import { realpath } from "node:fs/promises";
import { isAbsolute, join, relative, sep } from "node:path";

/** Why a path of a signal cannot be used, judged by its text alone; undefined where it stays in the folder. */
export function signalPathFault(path: string): string | undefined {
  const mend = "keep the file in the batch's folder and write its path from there, as in signals/01.csv";
  if (isAbsolute(path) || /^[A-Za-z]:/.test(path)) return `"${path}" is an absolute path: ${mend}`;
  if (leaves(join(path))) return `"${path}" leads out of the folder: ${mend}`;
  return undefined;
}

/** True where a file that exists lies outside the folder once links are followed. */
export async function isLinkedOutside(folder: string, path: string): Promise<boolean> {
  try {
    const [real, inside] = await Promise.all([realpath(join(folder, path)), realpath(folder)]);
    return leaves(relative(inside, real));
  } catch {
    return false;
  }
}

function leaves(path: string): boolean {
  return path === ".." || path.startsWith(`..${sep}`) || isAbsolute(path);
}
