import { createHash } from "node:crypto";
import { createReadStream } from "node:fs";
import { pipeline } from "node:stream/promises";

/** SHA-256 of a file, lower-case hexadecimal; undefined where there is no such file. Memory: one block. */
export async function hashFile(path: string): Promise<string | undefined> {
  const hash = createHash("sha256");
  try {
    await pipeline(createReadStream(path), hash);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === "ENOENT" || code === "ENOTDIR" || code === "EISDIR") return undefined;
    throw error;
  }
  return hash.digest("hex");
}
