/** Where the keys of a JSON text stand. */
export interface JsonLines {
  /** Line of the value at a path such as "ions.0.window", counted from 1; that of its parent where it is absent. */
  lineOf(path: string): number;
  /** Keys written twice in one object, with the line of the second. */
  readonly doubled: readonly { readonly path: string; readonly line: number }[];
}

const TOKEN = /"(?:[^"\\]|\\.)*"|[{}[\],:]|[^\s{}[\],:"]+|\n/g;

/** One object or list that is open while the text is walked through. */
interface Open {
  readonly path: string;
  readonly isList: boolean;
  index: number;
  key: string;
}

/** Finds the line of every key of a JSON text that has been parsed without error. O(length). */
export function locateJson(text: string): JsonLines {
  const lines = new Map<string, number>([["", 1]]);
  const doubled: { path: string; line: number }[] = [];
  const open: Open[] = [];
  let line = 1;
  let last = "";
  for (const [token] of text.matchAll(TOKEN)) {
    if (token === "\n") {
      line++;
      continue;
    }
    const inside = open.at(-1);
    if (token === ":" && inside !== undefined) {
      inside.key = JSON.parse(last) as string;
      const path = join(inside.path, inside.key);
      if (lines.has(path)) doubled.push({ path, line });
      lines.set(path, line);
    } else if (token === "{" || token === "[") {
      const path = inside === undefined ? "" : pathInside(inside);
      if (inside?.isList) lines.set(path, line);
      open.push({ path, isList: token === "[", index: 0, key: "" });
    } else if (token === "}" || token === "]") open.pop();
    else if (token === "," && inside?.isList) inside.index++;
    last = token;
  }
  return { doubled, lineOf: (path) => nearestLine(lines, path) };
}

function pathInside(inside: Open): string {
  return join(inside.path, inside.isList ? String(inside.index) : inside.key);
}

function join(parent: string, key: string): string {
  return parent === "" ? key : `${parent}.${key}`;
}

function nearestLine(lines: ReadonlyMap<string, number>, path: string): number {
  for (let at = path; at !== ""; at = at.includes(".") ? at.slice(0, at.lastIndexOf(".")) : "") {
    const line = lines.get(at);
    if (line !== undefined) return line;
  }
  return 1;
}
