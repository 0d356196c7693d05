import type { NotebookDocument, RunEvidence } from "../document.js";
import { hashesOfCells, hashOfSources } from "../run/source-hashes.js";

/** How the notebook stands to the run that its outputs come from. */
export type RunState =
  | { readonly kind: "never run" }
  | { readonly kind: "as run" }
  /** Numbers of the cells whose source is another now, from 1; empty where cells were removed or moved only. */
  | { readonly kind: "edited"; readonly cells: readonly number[] };

/** Compares the sources as they stand with those that were run. */
export function runState(document: NotebookDocument, evidence: RunEvidence | undefined): RunState {
  if (evidence === undefined) return { kind: "never run" };
  if (hashOfSources(document) === evidence.sources) return { kind: "as run" };
  const now = hashesOfCells(document);
  const before = evidence.cells;
  const cells = document.cells.flatMap((cell, index) =>
    before !== undefined && before[cell.id] !== now[cell.id] ? [index + 1] : [],
  );
  return { kind: "edited", cells };
}

/** The sentence that warns a reader; undefined where outputs and sources belong together. */
export function stateWarning(state: RunState): string | undefined {
  if (state.kind === "as run") return undefined;
  if (state.kind === "never run")
    return "This notebook was not run by ionbook: what its outputs rest on was not recorded.";
  const [one, ...more] = state.cells;
  const which =
    one === undefined ? "" : more.length === 0 ? ` in cell ${one}` : ` in cells ${state.cells.join(", ")}`;
  return `This notebook was edited after its run${which}: outputs may not belong to the code beside them. Run it again.`;
}
