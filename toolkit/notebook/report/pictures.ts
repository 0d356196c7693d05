import { type CellDocument, type NotebookDocument, textOf } from "../document.js";
import { imageAddresses } from "./markdown-text.js";
import { textField } from "./output-block.js";
import { isDataImage } from "./safe-markup.js";

/** Reads a picture beside the notebook by its relative path; undefined where there is none. */
export type ReadImage = (path: string) => Promise<Uint8Array | undefined>;

const TYPES: Readonly<Record<string, string>> = {
  png: "image/png",
  jpg: "image/jpeg",
  jpeg: "image/jpeg",
  gif: "image/gif",
  webp: "image/webp",
  svg: "image/svg+xml",
};

/** Pictures of the text cells: cell index → address as it was written → data address. */
export async function picturesOf(
  document: NotebookDocument,
  readImage: ReadImage | undefined,
): Promise<ReadonlyMap<number, ReadonlyMap<string, string>>> {
  const found = new Map<number, ReadonlyMap<string, string>>();
  for (const [index, cell] of document.cells.entries()) {
    if (cell.cell_type !== "markdown") continue;
    const own = new Map<string, string>();
    for (const address of imageAddresses(textOf(cell.source))) {
      const data = await resolve(address, cell, readImage);
      if (data !== undefined) own.set(address, data);
    }
    if (own.size > 0) found.set(index, own);
  }
  return found;
}

async function resolve(
  address: string,
  cell: CellDocument,
  readImage: ReadImage | undefined,
): Promise<string | undefined> {
  if (isDataImage(address)) return address;
  if (address.startsWith("attachment:")) return attachment(decoded(address.slice(11)), cell);
  const path = decoded(address);
  const type = TYPES[path.slice(path.lastIndexOf(".") + 1).toLowerCase()];
  const beside = !/^[a-z][a-z0-9+.-]*:|^[/\\]|(?:^|[/\\])\.\.(?:[/\\]|$)/i.test(path);
  if (type === undefined || !beside || readImage === undefined) return undefined;
  const bytes = await readImage(path);
  return bytes && `data:${type};base64,${Buffer.from(bytes).toString("base64")}`;
}

function attachment(name: string, cell: CellDocument): string | undefined {
  if (cell.cell_type === "code") return undefined;
  const entries = Object.entries(cell.attachments?.[name] ?? {});
  for (const [type, value] of entries) {
    const text = textField(value);
    if (text === undefined) continue;
    const base64 = type === "image/svg+xml" ? Buffer.from(text, "utf8").toString("base64") : text;
    const data = `data:${type};base64,${base64.replace(/\s+/g, "")}`;
    if (isDataImage(data)) return data;
  }
  return undefined;
}

function decoded(address: string): string {
  try {
    return decodeURIComponent(address);
  } catch {
    return address;
  }
}
