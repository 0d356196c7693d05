import { randomBytes } from "node:crypto";
import { lstat, realpath, rename, rm, writeFile } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { IonbookError } from "../errors.js";
import { type NotebookDocument, textOf } from "./document.js";

/** How a notebook is to be written. */
export interface WriteNotebookOptions {
  /** Replace the file that is there. @default false */
  readonly replace?: boolean;
}

/** Besides text/… these hold text worth splitting into lines; pictures in base64 and JSON stay whole. */
const TEXT_TYPES: ReadonlySet<string> = new Set(["application/javascript", "image/svg+xml"]);

/**
 * Writes a notebook, whole or not at all: into a file beside it first, which then takes its name. Through a
 * symbolic link the file behind it is replaced, not the link.
 *
 * @throws IonbookError "would-overwrite" where something has that name already, unless `replace`
 */
export async function writeNotebook(
  path: string,
  document: NotebookDocument,
  options: WriteNotebookOptions = {},
): Promise<void> {
  if (!options.replace && (await isThere(path))) {
    const why = "something has this name already: name another file, or ask to replace it";
    throw new IonbookError("would-overwrite", why, { file: path });
  }
  const target = await realpath(path).catch(() => path);
  const draft = join(dirname(target), `.${basename(target)}-${randomBytes(6).toString("hex")}`);
  try {
    await writeFile(draft, notebookText(document));
    await rename(draft, target);
  } finally {
    await rm(draft, { force: true });
  }
}

/**
 * A notebook as the text of its file, so that two versions of it compare line by line: keys in alphabetical order,
 * one blank a level, texts as lists of lines, a line end at the end. Jupyter's own programs write it like this.
 *
 * @source nbformat 4.5; order, indent and lines as Jupyter's package nbformat writes them (from memory)
 */
export function notebookText(document: NotebookDocument): string {
  const cells = document.cells.map((cell) => {
    const source = linesOf(textOf(cell.source));
    if (cell.cell_type !== "code") return { ...cell, source };
    return { ...cell, source, outputs: cell.outputs.map(outputInLines) };
  });
  return `${JSON.stringify(sorted({ ...document, cells }), null, 1)}\n`;
}

/** The lines of a text, each with its line end, as nbformat wants them: put together they are the text again. */
export function linesOf(text: string): readonly string[] {
  return text.match(/[^\n]*\n|[^\n]+$/g) ?? [];
}

function outputInLines(output: object): object {
  if ("text" in output) return { ...output, text: linesOf(textOf(output.text as string)) };
  if (!("data" in output)) return output;
  const data = Object.entries(output.data as object).map(([type, value]) => {
    const isText = type.startsWith("text/") || TEXT_TYPES.has(type);
    return [type, isText && isTextValue(value) ? linesOf(textOf(value)) : value];
  });
  return { ...output, data: Object.fromEntries(data) };
}

function isTextValue(value: unknown): value is string | readonly string[] {
  return typeof value === "string" || (Array.isArray(value) && value.every((x) => typeof x === "string"));
}

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== "object" || value === null) return value;
  const entries = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1));
  return Object.fromEntries(entries.map(([key, each]) => [key, sorted(each)]));
}

function isThere(path: string): Promise<boolean> {
  return lstat(path).then(
    () => true,
    () => false,
  );
}
