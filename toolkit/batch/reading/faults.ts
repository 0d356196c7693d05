import { IonbookError } from "../../errors.js";

/** One thing wrong in a file. */
export interface Fault {
  readonly code: string;
  readonly message: string;
  /** Counted from 1. */
  readonly line?: number;
  readonly column?: string;
}

const SHOWN = 10;

/**
 * Gathers what is wrong in one file, so that an analyst can mend a table in one go. One fault is thrown with
 * its own message; several are listed (the first ten) under the code and place of the first.
 */
export class Faults {
  readonly #file: string;
  readonly #found: Fault[] = [];

  /** @param file - name of the file as the user knows it */
  constructor(file: string) {
    this.#file = file;
  }

  add(code: string, message: string, line?: number, column?: string): void {
    this.#found.push({
      code,
      message,
      ...(line === undefined ? {} : { line }),
      ...(column === undefined ? {} : { column }),
    });
  }

  /** True when more than can be shown has been found: reading on is of no use. */
  get full(): boolean {
    return this.#found.length > SHOWN;
  }

  get any(): boolean {
    return this.#found.length > 0;
  }

  /** @throws IonbookError with the first fault's code where anything was added */
  throwIfAny(): void {
    const [first] = this.#found;
    if (first === undefined) return;
    const where = {
      file: this.#file,
      ...(first.line === undefined ? {} : { line: first.line }),
      ...(first.column === undefined ? {} : { column: first.column }),
    };
    if (this.#found.length === 1) throw new IonbookError(first.code, first.message, where);
    const shown = this.#found.slice(0, SHOWN).map((fault) => `  ${placeOf(fault)}${fault.message}`);
    const more = this.#found.length > SHOWN ? ["  and more"] : [];
    const message = [`${this.#file} has several faults:`, ...shown, ...more, "the first is in"].join("\n");
    throw new IonbookError(first.code, message, where);
  }
}

function placeOf(fault: Fault): string {
  const line = fault.line === undefined ? "" : `line ${fault.line}`;
  const column = fault.column === undefined ? "" : `column "${fault.column}"`;
  const place = [line, column].filter((part) => part !== "").join(", ");
  return place === "" ? "" : `${place}: `;
}
