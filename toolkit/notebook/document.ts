/** Data of one output by MIME type; text may be one string or a list of lines. */
export type MimeBundle = Readonly<Record<string, unknown>>;

export type Output =
  | {
      readonly output_type: "execute_result";
      readonly execution_count: number | null;
      readonly data: MimeBundle;
      readonly metadata: Readonly<Record<string, unknown>>;
    }
  | {
      readonly output_type: "display_data";
      readonly data: MimeBundle;
      readonly metadata: Readonly<Record<string, unknown>>;
    }
  | {
      readonly output_type: "stream";
      readonly name: "stdout" | "stderr";
      readonly text: string | readonly string[];
    }
  | {
      readonly output_type: "error";
      readonly ename: string;
      readonly evalue: string;
      readonly traceback: readonly string[];
    };

interface CellParts {
  readonly id: string;
  readonly metadata: Readonly<Record<string, unknown>>;
  readonly source: string | readonly string[];
}

export interface CodeCellDocument extends CellParts {
  readonly cell_type: "code";
  readonly execution_count: number | null;
  readonly outputs: readonly Output[];
}

export type CellDocument =
  | CodeCellDocument
  | (CellParts & {
      readonly cell_type: "markdown" | "raw";
      readonly attachments?: Readonly<Record<string, MimeBundle>>;
    });

/**
 * A notebook as it stands in its file.
 *
 * @source nbformat 4.5, JSON schema of the Jupyter project (copy in tests/reference)
 */
export interface NotebookDocument {
  readonly nbformat: 4;
  readonly nbformat_minor: number;
  readonly metadata: Readonly<Record<string, unknown>>;
  readonly cells: readonly CellDocument[];
}

/** What a run leaves in the notebook's metadata under "ionbook": what its outputs rest on. */
export interface RunEvidence {
  /** ISO 8601, UTC. */
  readonly ranAt: string;
  readonly seconds: number;
  /** Every file of data that was read, by its path relative to the folder in which the cells ran. */
  readonly files: readonly { readonly path: string; readonly sha256: string }[];
  readonly seeds: readonly { readonly seed: number | string; readonly purpose: string }[];
  /** Package or program by name, "ionbook", "node", "typescript" (the cells' compiler) among them. */
  readonly versions: Readonly<Record<string, string>>;
  /** SHA-256 of all cells' sources, so that an edit after the run shows. */
  readonly sources: string;
  /** The same for each cell by its id, shortened: names the cell that was edited. */
  readonly cells?: Readonly<Record<string, string>>;
  /** Where the cells ran, relative to this file's folder; absent where that is the folder itself. */
  readonly folder?: string;
}

/** A source or text field as one string. */
export function textOf(text: string | readonly string[]): string {
  return typeof text === "string" ? text : text.join("");
}
