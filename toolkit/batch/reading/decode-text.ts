import { IonbookError } from "../../errors.js";

/** Text of a file, and what had to be assumed to read it. */
export interface DecodedText {
  readonly text: string;
  /** Undefined for plain UTF-8. */
  readonly remark: string | undefined;
}

/**
 * The text of a file: UTF-8 with or without a byte order mark, UTF-16 with one, and Windows-1252 where the
 * bytes are not UTF-8 (older exports write the µ of µS/cm so).
 *
 * @throws IonbookError `unknown-format` where the bytes are no text
 */
export function decodeText(bytes: Uint8Array, shown: string): DecodedText {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return marked(bytes, "utf-16le", "UTF-16");
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return marked(bytes, "utf-16be", "UTF-16");
  if (bytes.subarray(0, 4096).includes(0)) {
    throw new IonbookError(
      "unknown-format",
      "the file holds no text: export it as delimited text (time, conductivity), netCDF or JCAMP-DX",
      { file: shown },
    );
  }
  try {
    return { text: new TextDecoder("utf-8", { fatal: true }).decode(bytes), remark: undefined };
  } catch {
    return marked(bytes, "windows-1252", "Windows-1252");
  }
}

function marked(bytes: Uint8Array, encoding: string, name: string): DecodedText {
  return { text: new TextDecoder(encoding).decode(bytes), remark: `text read as ${name}` };
}
