import { realpathSync, statSync } from "node:fs";
import { basename, extname, resolve, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { watchFileAccess } from "./file-access.js";
import type { CellEvidence } from "./thread-messages.js";

export interface EvidenceRecorder {
  /** What was noted since the last call. */
  take(): CellEvidence;
}

/** Under this name the package says what it rests on, without importing the kernel. */
const LISTENER = Symbol.for("ionbook.evidence");
const MODULE_ENDINGS = new Set([".js", ".mjs", ".cjs", ".ts", ".mts", ".cts", ".node", ".wasm", ".map"]);
const PACKAGE = fileURLToPath(new URL("../", import.meta.url));

/** Notes every file of data that is read on this thread, and every seed the package draws from. */
export function recordEvidence(versions: Readonly<Record<string, string>>): EvidenceRecorder {
  const read = new Set<string>();
  /** What the notebook wrote itself is no data it rests on. */
  const written = new Set<string>();
  const seeds = new Map<string, CellEvidence["seeds"][number]>();
  watchFileAccess((access, path) => {
    const file = resolve(path);
    if (access === "write") written.add(file);
    else if (!written.has(file) && isData(file)) read.add(file);
  });
  Reflect.set(globalThis, LISTENER, (evidence: unknown) => {
    const noted = evidence as { kind?: unknown; path?: unknown; seed?: unknown; purpose?: unknown };
    if (noted.kind === "file read" && typeof noted.path === "string") read.add(resolve(noted.path));
    if (noted.kind === "seed" && (typeof noted.seed === "number" || typeof noted.seed === "string")) {
      const seed = { seed: noted.seed, purpose: String(noted.purpose ?? "") };
      seeds.set(JSON.stringify(seed), seed);
    }
  });
  return {
    take() {
      const filesRead = [...read].filter(isFile).sort();
      const taken = { filesRead, seeds: [...seeds.values()], versions };
      read.clear();
      seeds.clear();
      return taken;
    },
  };
}

/** Not code, not a library's own files, nothing of the system. */
function isData(file: string): boolean {
  if (MODULE_ENDINGS.has(extname(file)) || basename(file) === "package.json") return false;
  if (file.startsWith(PACKAGE) || file.includes(`${sep}node_modules${sep}`)) return false;
  return !["/proc/", "/dev/", "/sys/", "/etc/"].some((place) => file.startsWith(place));
}

function isFile(path: string): boolean {
  try {
    return statSync(realpathSync(path)).isFile();
  } catch {
    return false;
  }
}
