import { readdir, stat } from "node:fs/promises";
import { join } from "node:path";
import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError, isIonbookError } from "../../errors.js";
import { noteFileRead } from "../../evidence.js";
import type { Batch, Injection, Method, Sample } from "../types.js";
import { readMethod } from "./method.js";
import { readBytes, sha256 } from "./read-bytes.js";
import { readSamples } from "./samples.js";
import { readSignals } from "./signals.js";
import { readSolutions } from "./solutions.js";
import { readWorksheet } from "./worksheet.js";
import { checkLinks } from "./worksheet-links.js";

/**
 * A batch read from its folder and checked: batch.json, worksheet.csv, solutions.csv and samples.csv (these two
 * only where the worksheet needs them) and every signal. Times in min, signals in µS/cm, concentrations in mg/L.
 * All faults of one file are told together; `noticed` holds what stops nothing but should be known; `files`
 * lists what was read with its SHA-256, paths relative to the folder. In a notebook every file of the folder counts
 * as read, listed in the worksheet or not: what was left out belongs to the evidence too.
 *
 * @throws IonbookError with file, line and column: `missing-folder`, `missing-file`, `empty-file`, `bad-json`,
 * `misspelt-key`, `missing-key`, `bad-value`, `unknown-ion`, `wrong-channel`, `missing-column`, `malformed-row`,
 * `missing-value`, `not-a-number`, `decimal-comma`, `negative-value`, `bad-dilution`, `duplicate-injection`,
 * `unknown-kind`, `unknown-unit`, `unknown-solution`, `unknown-sample`, `standard-without-values`,
 * `missing-parent`, `unknown-parent`, `path-outside-folder`, and what `readChromatogram` throws
 */
export async function openBatch(folder: string): Promise<Batch> {
  await checkFolder(folder);
  await noteFolderRead(folder);
  const files = new FolderFiles(folder);
  const method = await readMethod(await files.read("batch.json"), files.pathOf("batch.json"));
  const worksheetBytes = await files.read("worksheet.csv");
  const solutionBytes = await files.readIfThere("solutions.csv");
  const sampleBytes = await files.readIfThere("samples.csv");
  const solutions = solutionBytes && (await readSolutions(solutionBytes, files.pathOf("solutions.csv")));
  const samples = sampleBytes && (await readSamples(sampleBytes, files.pathOf("samples.csv")));
  const worksheet = await readWorksheet(worksheetBytes, files.pathOf("worksheet.csv"));
  checkLinks(worksheet, { method, solutions: solutions?.solutions, samples: samples?.samples });
  const signals = await readSignals(folder, worksheet, method);
  const remarks: readonly (readonly [file: string, remarks: readonly string[]])[] = [
    ["batch.json", methodRemarks(method)],
    ["solutions.csv", solutions?.remarks ?? []],
    [
      "samples.csv",
      [...(samples?.remarks ?? []), ...unusedSamples(samples?.samples ?? [], worksheet.injections)],
    ],
    ["worksheet.csv", worksheet.remarks],
  ];
  return makeBatch({
    folder,
    method,
    injections: worksheet.injections,
    solutions: solutions?.solutions ?? [],
    samples: samples?.samples ?? [],
    chromatograms: signals.chromatograms,
    noticed: [
      ...remarks.flatMap(([where, texts]) => texts.map((what) => ({ where, what }))),
      ...signals.noticed,
    ],
    files: [...files.hashed, ...signals.files],
  });
}

async function checkFolder(folder: string): Promise<void> {
  const found = await stat(folder).catch(() => undefined);
  if (found?.isDirectory()) return;
  const what = found === undefined ? "there is no such folder" : "this is a file, not a folder";
  throw new IonbookError("missing-folder", `${what}: name the folder that holds batch.json`, {
    file: folder,
  });
}

async function noteFolderRead(folder: string): Promise<void> {
  const entries = await readdir(folder, { withFileTypes: true });
  const inOrder = entries.sort((a, b) => (a.name < b.name ? -1 : 1));
  for (const entry of inOrder) {
    const path = join(folder, entry.name);
    const kind = entry.isSymbolicLink() ? await stat(path).catch(() => undefined) : entry;
    // A linked folder is not followed: it may lead back here.
    if (entry.isDirectory()) await noteFolderRead(path);
    else if (kind?.isFile()) noteFileRead(path);
  }
}

/** Reads the tables of a folder and remembers their hashes. */
class FolderFiles {
  readonly #folder: string;
  readonly hashed: { path: string; sha256: string }[] = [];

  constructor(folder: string) {
    this.#folder = folder;
  }

  /** The file as the user would name it: with several folders open, the name alone would not do. */
  pathOf(name: string): string {
    return join(this.#folder, name);
  }

  async read(name: string): Promise<Uint8Array> {
    const bytes = await readBytes(this.pathOf(name), this.pathOf(name));
    this.hashed.push({ path: name, sha256: sha256(bytes) });
    return bytes;
  }

  async readIfThere(name: string): Promise<Uint8Array | undefined> {
    try {
      return await this.read(name);
    } catch (error) {
      if (isIonbookError(error) && error.code === "missing-file") return undefined;
      throw error;
    }
  }
}

/** Windows of neighbouring ions that overlap: a peak there could carry either name. */
function methodRemarks(method: Method): string[] {
  const sorted = [...method.ions].sort((a, b) => a.retentionTime - b.retentionTime);
  return sorted.flatMap((entry, i) => {
    const next = sorted[i + 1];
    if (next === undefined || entry.retentionTime + entry.window <= next.retentionTime - next.window)
      return [];
    return [`the windows of ${entry.ion} and ${next.ion} overlap`];
  });
}

function unusedSamples(samples: readonly Sample[], injections: readonly Injection[]): string[] {
  const injected = new Set(injections.map((injection) => injection.solution));
  return samples
    .filter((sample) => !injected.has(sample.sample))
    .map((sample) => `line ${sample.line}: "${sample.sample}" was not injected in this batch`);
}

type BatchParts = Omit<Batch, "kind" | "toString" | typeof DISPLAY>;

function makeBatch(parts: BatchParts): Batch {
  const batch: Batch = {
    kind: "batch",
    ...parts,
    toString: () => describe(parts),
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(batch);
    },
  };
  return batch;
}

function describe({ method, injections, noticed }: BatchParts): string {
  const counts = new Map<string, number>();
  for (const { kind } of injections) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  const kinds = [...counts].map(([kind, count]) => `${count} ${kind}`).join(", ");
  const ions = method.ions.map((entry) => entry.ion).join(", ");
  const seen = noticed.length === 0 ? "" : `; ${noticed.length} noticed`;
  return `batch "${method.title}", ${method.channel} channel (${ions}): ${injections.length} injections (${kinds})${seen}`;
}
