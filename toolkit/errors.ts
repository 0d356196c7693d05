/** Where in the user's material something went wrong: shown at the end of the message. */
export interface ErrorPlace {
  readonly file?: string;
  /** Line of the file, counted from 1. */
  readonly line?: number;
  /** Name of the table column. */
  readonly column?: string;
  /** Number of the notebook cell, counted from 1. */
  readonly cell?: number;
}

/**
 * The one error class of the toolkit: the user's material or call is at fault and can be mended.
 * Anything else that is thrown is a fault of the toolkit itself and deliberately stays a plain `Error`.
 *
 * `code` is a short literal to test for ("unknown-ion", "unit-mismatch", …); `message` says what is wrong,
 * where, and how to mend it; `where` repeats the place for programs.
 */
export class IonbookError extends Error {
  override readonly name = "IonbookError";
  readonly code: string;
  readonly where: ErrorPlace | undefined;

  constructor(code: string, message: string, where?: ErrorPlace) {
    super(where ? `${message} (${describePlace(where)})` : message);
    this.code = code;
    this.where = where;
  }
}

/** True for an `IonbookError`, also for one made by another copy of the toolkit (a notebook kernel has two). */
export function isIonbookError(value: unknown): value is IonbookError {
  return value instanceof Error && value.name === "IonbookError" && "code" in value;
}

function describePlace(where: ErrorPlace): string {
  const parts: string[] = [];
  if (where.file !== undefined) parts.push(where.file);
  if (where.line !== undefined) parts.push(`line ${where.line}`);
  if (where.column !== undefined) parts.push(`column "${where.column}"`);
  if (where.cell !== undefined) parts.push(`cell ${where.cell}`);
  return parts.join(", ");
}
