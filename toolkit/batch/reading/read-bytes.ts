import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { IonbookError } from "../../errors.js";

/**
 * The bytes of a file.
 *
 * @param shown - the file's name as the user knows it, for messages
 * @throws IonbookError `missing-file` where there is none, `empty-file` where it has no bytes,
 * `unreadable-file` where it is a folder or access is refused
 */
export async function readBytes(path: string, shown: string): Promise<Uint8Array> {
  let bytes: Uint8Array;
  try {
    bytes = await readFile(path);
  } catch (error) {
    throw refusal(error, shown);
  }
  if (bytes.length === 0) {
    throw new IonbookError("empty-file", "the file is empty: export or copy it again", { file: shown });
  }
  return bytes;
}

/** SHA-256 of the bytes, lower-case hexadecimal. */
export function sha256(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

function refusal(error: unknown, shown: string): unknown {
  const code = (error as NodeJS.ErrnoException).code;
  const where = { file: shown };
  if (code === "ENOENT" || code === "ENOTDIR") {
    return new IonbookError("missing-file", "there is no such file: check its name and folder", where);
  }
  if (code === "EISDIR") {
    return new IonbookError("unreadable-file", "this is a folder: name the file in it", where);
  }
  if (code === "EACCES" || code === "EPERM") {
    return new IonbookError(
      "unreadable-file",
      "reading is not allowed: change the file's access rights",
      where,
    );
  }
  return error;
}
