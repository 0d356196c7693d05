import type { CellCode } from "./cell-compiler.js";

/** MIME type → data, as the protocol wants it: JSON, bytes as base64. */
export type MimeBundle = Readonly<Record<string, unknown>>;

/** An error as the protocol sends it. */
export interface Failure {
  readonly ename: string;
  readonly evalue: string;
  readonly traceback: readonly string[];
  /** Place in the cell that was run (not in an earlier one whose function it called), counted from 1, where known. */
  readonly place?: { readonly line: number; readonly column: number };
}

/** What a cell's results rest on. */
export interface CellEvidence {
  readonly filesRead: readonly string[];
  readonly seeds: readonly { readonly seed: number | string; readonly purpose: string }[];
  readonly versions: Readonly<Record<string, string>>;
}

/** A compiled cell on its way to the main thread. */
export interface RunCell {
  readonly kind: "run";
  /** Number of this execution, never used twice. */
  readonly id: number;
  /** The number that stands beside the cell, In[3]. */
  readonly count: number;
  readonly source: string;
  readonly code: CellCode;
  /** Nobody wants the result: do not ask it to show itself. */
  readonly silent: boolean;
}

export type ToMain =
  | RunCell
  /** Ends the cell that is waiting for something. */
  | { readonly kind: "interrupt" }
  /** Answered by "pong" as soon as the main thread is free. */
  | { readonly kind: "ping" };

export type FromMain =
  | {
      readonly kind: "stream";
      readonly id: number;
      readonly name: "stdout" | "stderr";
      readonly text: string;
    }
  | {
      readonly kind: "display";
      readonly id: number;
      readonly data: MimeBundle;
      readonly metadata: MimeBundle;
      readonly displayId?: string;
      readonly update: boolean;
    }
  | { readonly kind: "clear"; readonly id: number; readonly wait: boolean }
  | {
      readonly kind: "done";
      readonly id: number;
      readonly result?: MimeBundle;
      readonly failure?: Failure;
      /** Missing where the cell could not report any more. */
      readonly evidence?: CellEvidence;
    }
  | { readonly kind: "pong" };

/** What the protocol thread is started with. */
export interface ProtocolStart {
  readonly connectionFile: string;
  /** One number, 1 while an interrupt is wanted: loops in async code look at it. */
  readonly interruptFlag: Int32Array;
}
