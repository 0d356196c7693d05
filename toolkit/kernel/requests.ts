import { toCodePoints, toUtf16 } from "./code-points.js";
import type { CompilerClient } from "./compiler-client.js";
import type { History } from "./history.js";
import { kernelInfo } from "./kernel-info.js";

/** A request that is answered at once, also while a cell runs. */
export type Handler = (content: Readonly<Record<string, unknown>>) => object | Promise<object>;

/** Everything but `execute_request`, `interrupt_request` and `shutdown_request`. */
export function createHandlers(compiler: CompilerClient, history: History): ReadonlyMap<string, Handler> {
  return new Map<string, Handler>([
    ["kernel_info_request", kernelInfo],
    ["complete_request", (content) => complete(compiler, content)],
    ["inspect_request", (content) => inspect(compiler, content)],
    ["is_complete_request", ({ code }) => compiler.completeness(String(code ?? ""))],
    ["history_request", (content) => ({ status: "ok", history: historyEntries(history, content) })],
    // No widgets: nobody has opened a comm.
    ["comm_info_request", () => ({ status: "ok", comms: {} })],
  ]);
}

/** Code and cursor; the protocol counts characters, the compiler UTF-16 units. */
function cursorOf(content: Readonly<Record<string, unknown>>): { code: string; position: number } {
  const code = String(content.code ?? "");
  const cursor = typeof content.cursor_pos === "number" ? content.cursor_pos : Number.POSITIVE_INFINITY;
  return { code, position: toUtf16(code, cursor) };
}

async function complete(
  compiler: CompilerClient,
  content: Readonly<Record<string, unknown>>,
): Promise<object> {
  const { code, position } = cursorOf(content);
  const { start, end, matches } = await compiler.complete(code, position);
  const range = { start: toCodePoints(code, start), end: toCodePoints(code, end) };
  return {
    status: "ok",
    matches: matches.map(({ text }) => text),
    cursor_start: range.start,
    cursor_end: range.end,
    metadata: {
      // Not in the protocol's text, but front ends show the kind beside each match.
      _jupyter_types_experimental: matches.map(({ text, kind }) => ({ ...range, text, type: kind })),
    },
  };
}

async function inspect(
  compiler: CompilerClient,
  content: Readonly<Record<string, unknown>>,
): Promise<object> {
  const { code, position } = cursorOf(content);
  // A cursor behind a name, as in `calibrate(|`, asks for the name.
  const docs =
    (await compiler.inspect(code, position)) ??
    (position > 0 ? await compiler.inspect(code, position - 1) : undefined) ??
    (position > 1 ? await compiler.inspect(code, position - 2) : undefined);
  if (!docs) return { status: "ok", found: false, data: {}, metadata: {} };
  const data = { "text/plain": docs.plain, "text/markdown": docs.markdown };
  return { status: "ok", found: true, data, metadata: {} };
}

function historyEntries(history: History, content: Readonly<Record<string, unknown>>): readonly unknown[] {
  const entries = history.ask(content);
  if (content.output !== true) return entries;
  return entries.map(([session, line, input]) => [session, line, [input, null]]);
}
