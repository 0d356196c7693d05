import { stat } from "node:fs/promises";
import { relative, resolve, sep } from "node:path";
import { packageVersion } from "../../show/page/package-version.js";
import type { NotebookDocument, RunEvidence } from "../document.js";
import { hashFile } from "./hash-file.js";
import { hashesOfCells, hashOfSources } from "./source-hashes.js";

type Seed = RunEvidence["seeds"][number];

/** What a kernel says beside the reply to a cell about the cell's sources of evidence. */
interface CellEvidence {
  readonly filesRead: readonly string[];
  readonly seeds: readonly Seed[];
  readonly versions: Readonly<Record<string, string>>;
}

/**
 * Gathers during a run what its results rest on. A file is hashed when the cell that read it has ended; one that
 * was written after the run began is the run's own work and no evidence.
 */
export class EvidenceOfRun {
  readonly #folder: string;
  readonly #began: number;
  readonly #hashes = new Map<string, string | undefined>();
  readonly #seeds = new Map<string, Seed>();
  #versions: Readonly<Record<string, string>> = {};

  /** @param folder in which the cells run @param began start of the run, ms since 1970 */
  constructor(folder: string, began: number) {
    this.#folder = folder;
    this.#began = began;
  }

  /** @param metadata of the reply to a cell */
  async add(metadata: Readonly<Record<string, unknown>>): Promise<void> {
    const { filesRead, seeds, versions } = cellEvidence(metadata.ionbook);
    for (const seed of seeds) this.#seeds.set(JSON.stringify([seed.seed, seed.purpose]), seed);
    this.#versions = { ...this.#versions, ...versions };
    for (const file of filesRead) await this.#addFile(resolve(this.#folder, file));
  }

  gathered(document: NotebookDocument): RunEvidence {
    const files = [...this.#hashes]
      .flatMap(([path, sha256]) =>
        sha256 === undefined ? [] : [{ path: relativePath(this.#folder, path), sha256 }],
      )
      .sort((a, b) => (a.path < b.path ? -1 : 1));
    return {
      ranAt: new Date(this.#began).toISOString(),
      seconds: Math.round((Date.now() - this.#began) / 100) / 10,
      files,
      seeds: [...this.#seeds.values()],
      versions: { ionbook: packageVersion(), node: process.versions.node, ...this.#versions },
      sources: hashOfSources(document),
      cells: hashesOfCells(document),
    };
  }

  async #addFile(path: string): Promise<void> {
    if (this.#hashes.has(path)) return;
    const found = await stat(path).catch(() => undefined);
    const own = found === undefined || found.mtimeMs >= this.#began;
    this.#hashes.set(path, own ? undefined : await hashFile(path));
  }
}

/** A path from a folder, with forward slashes on every system. */
export function relativePath(folder: string, path: string): string {
  return relative(folder, path).split(sep).join("/");
}

/** Other kernels send nothing: then there is nothing. */
function cellEvidence(found: unknown): CellEvidence {
  const given = (typeof found === "object" && found !== null ? found : {}) as Partial<CellEvidence>;
  return { filesRead: given.filesRead ?? [], seeds: given.seeds ?? [], versions: given.versions ?? {} };
}
