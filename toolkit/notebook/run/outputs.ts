import type { MimeBundle, Output } from "../document.js";

/** What a kernel publishes while a cell runs: type and content of a message. */
export interface Published {
  readonly type: string;
  readonly content: Readonly<Record<string, unknown>>;
}

type Writable<T> = { -readonly [K in keyof T]: T[K] };
type Entry = {
  [T in Output["output_type"]]: Writable<Extract<Output, { output_type: T }>>;
}[Output["output_type"]];
type Shown = Extract<Entry, { output_type: "display_data" | "execute_result" }>;

/**
 * Collects what the cells of one run show, as nbformat keeps it. It holds all cells of the run, because a display
 * may be updated from a later cell.
 *
 * @source Jupyter client documentation, "Messaging in Jupyter": messages on the iopub channel; nbformat 4.5
 */
export class RunOutputs {
  readonly #displays = new Map<string, Shown[]>();

  /** The outputs of the next cell. */
  nextCell(): CellOutputs {
    return new CellOutputs(this.#displays);
  }
}

/** The outputs of one cell, in the order in which they came; neighbouring texts of one stream are one output. */
export class CellOutputs {
  readonly #displays: Map<string, Shown[]>;
  #entries: Entry[] = [];
  #clearAtNext = false;

  constructor(displays: Map<string, Shown[]>) {
    this.#displays = displays;
  }

  take({ type, content }: Published): void {
    if (type === "stream") this.#stream(content);
    else if (type === "display_data" || type === "execute_result") this.#show(type, content);
    else if (type === "update_display_data") this.#update(content);
    else if (type === "clear_output") this.#clear(content);
    else if (type === "error") this.#add(errorOf(content));
  }

  /** What was collected so far. A later update of a display changes only what is collected after it. */
  collected(): readonly Output[] {
    return this.#entries.map((entry) => ({ ...entry }));
  }

  #stream(content: Published["content"]): void {
    const name = content.name === "stderr" ? "stderr" : "stdout";
    const text = String(content.text ?? "");
    if (this.#clearAtNext) this.#empty();
    const last = this.#entries.at(-1);
    if (last?.output_type === "stream" && last.name === name) last.text = `${last.text}${text}`;
    else if (text !== "") this.#add({ output_type: "stream", name, text });
  }

  #show(type: "display_data" | "execute_result", content: Published["content"]): void {
    const parts = { data: content.data as MimeBundle, metadata: (content.metadata ?? {}) as MimeBundle };
    const count = typeof content.execution_count === "number" ? content.execution_count : null;
    const entry: Shown =
      type === "display_data"
        ? { output_type: type, ...parts }
        : { output_type: type, execution_count: count, ...parts };
    this.#add(entry);
    const id = displayId(content);
    if (id !== undefined) this.#displays.set(id, [...(this.#displays.get(id) ?? []), entry]);
  }

  #update(content: Published["content"]): void {
    for (const entry of this.#displays.get(displayId(content) ?? "") ?? []) {
      entry.data = content.data as MimeBundle;
      entry.metadata = (content.metadata ?? {}) as MimeBundle;
    }
  }

  #clear(content: Published["content"]): void {
    if (content.wait === true) this.#clearAtNext = true;
    else this.#empty();
  }

  #add(entry: Entry): void {
    if (this.#clearAtNext) this.#empty();
    this.#entries.push(entry);
  }

  #empty(): void {
    this.#entries = [];
    this.#clearAtNext = false;
  }
}

function displayId(content: Published["content"]): string | undefined {
  const id = (content.transient as { display_id?: unknown } | undefined)?.display_id;
  return typeof id === "string" ? id : undefined;
}

function errorOf(content: Published["content"]): Entry {
  return {
    output_type: "error",
    ename: String(content.ename),
    evalue: String(content.evalue),
    traceback: Array.isArray(content.traceback) ? content.traceback.map(String) : [],
  };
}
