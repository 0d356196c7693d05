/** A cell as it was run: session, number beside the cell, text. */
export type HistoryEntry = readonly [session: number, line: number, input: string];

export interface History {
  add(line: number, input: string): void;
  /** Answers a `history_request`. */
  ask(request: Readonly<Record<string, unknown>>): readonly HistoryEntry[];
}

/** Kept in memory while the kernel lives: one session, number 0 as the running one is called. */
export function createHistory(): History {
  const entries: HistoryEntry[] = [];
  return {
    add(line, input) {
      entries.push([0, line, input]);
    },
    ask(request) {
      const most = typeof request.n === "number" ? request.n : Number.POSITIVE_INFINITY;
      switch (request.hist_access_type) {
        case "range":
          return inRange(entries, request);
        case "search":
          return last(matching(entries, request), most);
        default:
          return last(entries, most);
      }
    },
  };
}

function last(entries: readonly HistoryEntry[], most: number): readonly HistoryEntry[] {
  return most > 0 ? entries.slice(-most) : [];
}

/** Lines from `start` up to but without `stop`. */
function inRange(entries: readonly HistoryEntry[], request: Readonly<Record<string, unknown>>) {
  const start = typeof request.start === "number" ? request.start : 0;
  const stop = typeof request.stop === "number" ? request.stop : Number.POSITIVE_INFINITY;
  return entries.filter(([, line]) => line >= start && line < stop);
}

/** Entries that fit a pattern of `*` (anything) and `?` (one character); with `unique` each text once, the latest. */
function matching(entries: readonly HistoryEntry[], request: Readonly<Record<string, unknown>>) {
  const pattern = typeof request.pattern === "string" ? request.pattern : "*";
  const source = pattern
    .replace(/[.+^${}()|[\]\\]/g, "\\$&")
    .replaceAll("*", "[\\s\\S]*")
    .replaceAll("?", "[\\s\\S]");
  const fits = new RegExp(`^${source}$`);
  const found = entries.filter(([, , input]) => fits.test(input));
  if (request.unique !== true) return found;
  return [...new Map(found.map((entry) => [entry[2], entry])).values()];
}
