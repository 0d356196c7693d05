import { dirname, resolve } from "node:path";
import { IonbookError } from "../../errors.js";
import { KernelClient, KernelDied } from "../client/kernel-client.js";
import type { KernelSpec } from "../client/kernel-process.js";
import { type CellDocument, type NotebookDocument, type RunEvidence, textOf } from "../document.js";
import { readNotebook } from "../read-notebook.js";
import type { CellPlace } from "./cell-place.js";
import { type CellOutputs, RunOutputs } from "./outputs.js";
import { runCell } from "./run-cell.js";
import { EvidenceOfRun } from "./run-evidence.js";
import type { RunFailure } from "./run-failure.js";

/** A kernel by the name that notebooks call it. */
export interface NamedKernel {
  readonly name: string;
  readonly spec: KernelSpec;
}

export interface RunOptions {
  /** A cell that takes longer is interrupted and the run has failed, s. @default 600 */
  readonly cellTimeoutSeconds?: number;
  /** The kernel must answer within this time, s. @default 60 */
  readonly startTimeoutSeconds?: number;
  /** Told before each code cell: how many are done, of how many, and which comes now. */
  readonly onProgress?: (done: number, of: number, what: string) => void;
  /** @default the kernel of this package */
  readonly kernel?: NamedKernel;
  /** Folder in which the cells run. @default the notebook's own */
  readonly folder?: string;
}

/** What a run gave. */
export interface RunOutcome {
  readonly kind: "notebook-run";
  readonly path: string;
  /** The notebook with the outputs of this run; behind a failing cell there are none. */
  readonly document: NotebookDocument;
  readonly evidence: RunEvidence;
  /** Undefined where every cell ran. */
  readonly failure: RunFailure | undefined;
}

const DEFAULTS = { cellTimeoutSeconds: 600, startTimeoutSeconds: 60 };
/** As much of a cell's first line is told as progress. */
const TOLD_LENGTH = 60;

/**
 * Runs all code cells of a notebook in their order, in a kernel of its own, in the notebook's folder. Stops at the
 * first cell that fails, unless its tag "raises-exception" says that it should. The file is not written.
 *
 * @throws IonbookError as `readNotebook`; "other-language" for a notebook of another language than the kernel's;
 * "kernel-not-ready" where the kernel does not start; "bad-timeout"
 */
export async function runNotebook(path: string, options: RunOptions = {}): Promise<RunOutcome> {
  const settings = { ...DEFAULTS, ...options };
  checkSeconds(settings.cellTimeoutSeconds);
  const read = await readNotebook(path);
  const kernel = options.kernel ?? (await ownKernel());
  refuseOtherLanguage(read, kernel.spec, path);
  const folder = resolve(options.folder ?? dirname(path));
  const evidence = new EvidenceOfRun(folder, Date.now());
  const client = await startKernel(kernel.spec, folder, settings.startTimeoutSeconds);
  try {
    const run = await runCells(client, read, evidence, settings);
    const gathered = evidence.gathered(read);
    const metadata = { ...read.metadata, ...aboutKernel(kernel, client.info), ionbook: gathered };
    const document = { ...read, cells: run.cells, metadata };
    return { kind: "notebook-run", path, document, evidence: gathered, failure: run.failure };
  } finally {
    await client.shutdown();
  }
}

async function runCells(
  client: KernelClient,
  notebook: NotebookDocument,
  evidence: EvidenceOfRun,
  settings: typeof DEFAULTS & Pick<RunOptions, "onProgress">,
): Promise<{ readonly cells: readonly CellDocument[]; readonly failure: RunFailure | undefined }> {
  const outputs = new RunOutputs();
  const runs = new Map<CellDocument, { readonly count: number | null; readonly shown: CellOutputs }>();
  const places = placesOf(notebook);
  let failure: RunFailure | undefined;
  for (const [cell, place] of places) {
    settings.onProgress?.(place.codeCell - 1, places.size, whatOf(place));
    const shown = outputs.nextCell();
    const run = await runCell(client, place, shown, settings.cellTimeoutSeconds);
    runs.set(cell, { count: run.executionCount, shown });
    await evidence.add(run.metadata);
    const mayFail = run.failure?.kind === "error" && mayRaise(cell);
    failure = mayFail ? undefined : run.failure;
    if (failure !== undefined) break;
  }
  if (failure === undefined) settings.onProgress?.(places.size, places.size, "all cells done");
  const cells = notebook.cells.map((cell): CellDocument => {
    if (cell.cell_type !== "code") return cell;
    const run = runs.get(cell);
    return { ...cell, execution_count: run?.count ?? null, outputs: run?.shown.collected() ?? [] };
  });
  return { cells, failure };
}

/** The code cells that hold code, in their order, with their numbers. */
function placesOf(notebook: NotebookDocument): ReadonlyMap<CellDocument, CellPlace> {
  const places = new Map<CellDocument, CellPlace>();
  notebook.cells.forEach((cell, index) => {
    const source = textOf(cell.source);
    if (cell.cell_type !== "code" || source.trim() === "") return;
    places.set(cell, { cell: index + 1, codeCell: places.size + 1, source });
  });
  return places;
}

function whatOf({ cell, source }: CellPlace): string {
  const first = source.trim().split("\n")[0];
  return `cell ${cell}: ${first.length > TOLD_LENGTH ? `${first.slice(0, TOLD_LENGTH)}…` : first}`;
}

function mayRaise(cell: CellDocument): boolean {
  return Array.isArray(cell.metadata.tags) && cell.metadata.tags.includes("raises-exception");
}

function checkSeconds(seconds: number): void {
  if (seconds > 0 && seconds <= 1e6) return;
  throw new IonbookError("bad-timeout", `a cell cannot end within ${seconds} s: give more than 0, up to 10⁶`);
}

async function ownKernel(): Promise<NamedKernel> {
  const { kernelSpec } = await import("../../kernel/kernelspec.js");
  return { name: "ionbook", spec: kernelSpec() };
}

/** A kernel that ends while it starts is told as what it is: nothing of the notebook has run. */
async function startKernel(
  spec: KernelSpec,
  cwd: string,
  startTimeoutSeconds: number,
): Promise<KernelClient> {
  try {
    return await KernelClient.start(spec, { cwd, startTimeoutSeconds });
  } catch (error) {
    if (!(error instanceof KernelDied)) throw error;
    const words = error.end.lastWords === "" ? "it said nothing" : error.end.lastWords;
    throw new IonbookError(
      "kernel-not-ready",
      `the kernel ended while it started; check the installation: ${words}`,
    );
  }
}

function refuseOtherLanguage(notebook: NotebookDocument, spec: KernelSpec, path: string): void {
  const { kernelspec, language_info } = notebook.metadata as Readonly<
    Record<string, { readonly language?: unknown; readonly name?: unknown } | undefined>
  >;
  const language = kernelspec?.language ?? language_info?.name;
  if (typeof language !== "string" || language.toLowerCase() === spec.language.toLowerCase()) return;
  throw new IonbookError(
    "other-language",
    `this notebook is written in ${language}, the kernel runs ${spec.language}: choose the kernel "${spec.display_name}" in a notebook page and write the cells for it`,
    { file: path },
  );
}

function aboutKernel(
  kernel: NamedKernel,
  info: Readonly<Record<string, unknown>>,
): Readonly<Record<string, unknown>> {
  const { display_name, language } = kernel.spec;
  return { kernelspec: { display_name, language, name: kernel.name }, language_info: info.language_info };
}
