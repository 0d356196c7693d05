import { inspect } from "node:util";
import { asFrame, frameHtml } from "./frame-table.js";
import type { MimeBundle } from "./thread-messages.js";

/** The method by which a value shows itself. */
const DISPLAY = Symbol.for("Jupyter.display");
/** A value that says true under this name has shown itself while the cell ran. */
const SHOWN = Symbol.for("ionbook.shown");
const PNG = [0x89, 0x50, 0x4e, 0x47];
const VEGA_LITE = /vega-lite\/v(\d+)/;

export interface Shown {
  readonly data: MimeBundle;
  /** Set when the value could not show itself and plain text stands in for it. */
  readonly fault?: unknown;
}

/** What a value looks like in the notebook; never throws. */
export async function showValue(value: unknown): Promise<Shown> {
  try {
    return { data: wireReady(await ownBundle(value)) };
  } catch (fault) {
    return { data: { "text/plain": plainText(value) }, fault };
  }
}

/** Whether a value has shown itself already, so that as a cell's last expression it would stand there twice. */
export function wasShown(value: unknown): boolean {
  return typeof value === "object" && value !== null && Reflect.get(value, SHOWN) === true;
}

/** Bytes as base64, everything else as JSON has it: only such data can leave the process. */
export function wireReady(bundle: MimeBundle): MimeBundle {
  const ready: Record<string, unknown> = {};
  for (const [mime, data] of Object.entries(bundle)) {
    if (data === undefined) continue;
    if (data instanceof Uint8Array) ready[mime] = Buffer.from(data).toString("base64");
    else ready[mime] = typeof data === "object" ? JSON.parse(JSON.stringify(data)) : data;
  }
  return ready;
}

async function ownBundle(value: unknown): Promise<MimeBundle> {
  if (value === null || (typeof value !== "object" && typeof value !== "function")) {
    return { "text/plain": plainText(value) };
  }
  const show: unknown = Reflect.get(value, DISPLAY);
  if (typeof show === "function") {
    const bundle: unknown = await show.call(value);
    if (typeof bundle !== "object" || bundle === null) {
      throw new TypeError("the value's display method returned no MIME bundle");
    }
    return "text/plain" in bundle ? { ...bundle } : { ...bundle, "text/plain": plainText(value) };
  }
  const schema: unknown = Reflect.get(value, "$schema");
  const version = typeof schema === "string" ? VEGA_LITE.exec(schema)?.[1] : undefined;
  if (version) {
    return { [`application/vnd.vegalite.v${version}+json`]: value, "text/plain": plainText(value) };
  }
  if (value instanceof Uint8Array && PNG.every((byte, index) => value[index] === byte)) {
    return { "image/png": value, "text/plain": `PNG picture, ${value.length} bytes` };
  }
  const frame = asFrame(value);
  return frame
    ? { "text/html": frameHtml(frame), "text/plain": String(value) }
    : { "text/plain": plainText(value) };
}

function plainText(value: unknown): string {
  try {
    return inspect(value, { depth: 4, maxArrayLength: 100, maxStringLength: 10_000, breakLength: 88 });
  } catch {
    return Object.prototype.toString.call(value);
  }
}
