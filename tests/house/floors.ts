import { readdirSync, readFileSync } from "node:fs";
import { join, posix } from "node:path";
import ts from "typescript";

/** Floors from the ground up: a room imports only from rooms on lower floors. */
export const FLOORS: readonly (readonly string[])[] = [
  ["errors.ts", "display.ts", "evidence.ts"],
  ["numeric", "ions"],
  ["uncertainty"],
  ["signal", "water", "compare"],
  ["calibration", "peaks", "separation", "standards"],
  ["simulation", "limits"],
  ["batch"],
  ["show"],
  ["notebook"],
  ["command"],
];
/** The face of the package stands above every room; only the command may look at it. */
const FACE = "index.ts";
const MAY_IMPORT_FACE: readonly string[] = ["command"];
const MAY_IMPORT_SIMULATION: readonly string[] = [FACE, "show", "simulation"];
const NO_PRODUCT_SOURCE = new Set(["dist", "vendor", "bin", "node_modules"]);

/** Path below toolkit/ (with forward slashes) → source text. */
export type Sources = Readonly<Record<string, string>>;

/** All TypeScript sources of the toolkit. */
export function readSources(toolkit: string): Sources {
  const sources: Record<string, string> = {};
  const walk = (folder: string): void => {
    for (const entry of readdirSync(join(toolkit, folder), { withFileTypes: true })) {
      const path = posix.join(folder, entry.name);
      if (entry.isDirectory()) {
        if (!NO_PRODUCT_SOURCE.has(path)) walk(path);
      } else if (/(?<!\.d)\.ts$/.test(entry.name)) {
        sources[path] = readFileSync(join(toolkit, path), "utf8");
      }
    }
  };
  walk("");
  return sources;
}

/** Sentences, one for each import that goes up or sideways, each unknown room and each circle of files. */
export function floorViolations(sources: Sources): readonly string[] {
  const graph = new Map<string, readonly string[]>();
  for (const [file, text] of Object.entries(sources)) graph.set(file, relativeImports(file, text));
  const found: string[] = [];
  for (const [file, targets] of graph) {
    for (const target of targets) {
      const fault = faultOf(roomOf(file), roomOf(target));
      if (fault) found.push(`${roomOf(file)}: ${file} imports ${target}: ${fault}`);
    }
  }
  return [...found, ...circles(graph)];
}

/** Paths below toolkit/ that a file imports, re-exports or loads, types included. */
function relativeImports(file: string, text: string): readonly string[] {
  return ts
    .preProcessFile(text, true, true)
    .importedFiles.map((imported) => imported.fileName)
    .filter((name) => name.startsWith("."))
    .map((name) => posix.join(posix.dirname(file), name).replace(/\.js$/, ".ts"));
}

function roomOf(file: string): string {
  return file.split("/")[0] ?? file;
}

function faultOf(from: string, to: string): string | undefined {
  if (to === from) return undefined;
  if (from === "kernel") return "the kernel imports no other room";
  if (to === "kernel" && (from === "notebook" || from === "command")) return undefined;
  if (to === FACE) return MAY_IMPORT_FACE.includes(from) ? undefined : "upward, to the face of the package";
  if (to === "simulation" && !MAY_IMPORT_SIMULATION.includes(from)) {
    return "simulation is for the face and show only";
  }
  if (from === FACE) return undefined;
  const [lower, upper] = [floorOf(to), floorOf(from)];
  if (upper < 0) return `${from} stands on no floor`;
  if (lower < 0) return `${to} stands on no floor`;
  if (lower > upper) return `upward, from floor ${upper} (${from}) to floor ${lower} (${to})`;
  return lower === upper ? `sideways, on floor ${upper} (${from} to ${to})` : undefined;
}

function floorOf(room: string): number {
  return FLOORS.findIndex((rooms) => rooms.includes(room));
}

/** One sentence for each import that closes a circle, found by walking depth first. */
function circles(graph: ReadonlyMap<string, readonly string[]>): readonly string[] {
  const found: string[] = [];
  const done = new Set<string>();
  const trail: string[] = [];
  const walk = (file: string): void => {
    const at = trail.indexOf(file);
    if (at >= 0) {
      found.push(`${roomOf(file)}: circle ${[...trail.slice(at), file].join(" → ")}`);
      return;
    }
    if (done.has(file)) return;
    trail.push(file);
    for (const target of graph.get(file) ?? []) walk(target);
    trail.pop();
    done.add(file);
  };
  for (const file of graph.keys()) walk(file);
  return found;
}
