import { resolve } from "node:path";
import { IonbookError } from "../errors.js";

/** The notebooks named behind a command, each once. */
export function notebookWords(command: string, words: readonly string[]): readonly string[] {
  if (words.length === 0) {
    const why = `name at least one notebook: ionbook ${command} notebooks/road-salt-in-wells.ipynb`;
    throw new IonbookError("missing-notebook", why);
  }
  const byPath = new Map(words.map((word) => [resolve(word), word]));
  return [...byPath.values()];
}

/** Seconds of a --timeout; none where it was not given. */
export function timeoutOption(given: string | true | undefined): { readonly cellTimeoutSeconds?: number } {
  if (given === undefined) return {};
  const seconds = Number(given);
  if (seconds > 0 && seconds <= 1e6) return { cellTimeoutSeconds: seconds };
  throw new IonbookError("bad-timeout", `--timeout ${given} is no time for a cell: give seconds, as in 600`);
}

/** Lets a run that is interrupted from outside end its kernel and leave nothing behind. */
export async function interruptible<T>(work: () => Promise<T>): Promise<T> {
  // Only an orderly exit runs the handlers that end the kernel and remove its connection file.
  const leave = (signal: NodeJS.Signals): void => process.exit(signal === "SIGINT" ? 130 : 143);
  process.once("SIGINT", leave).once("SIGTERM", leave);
  try {
    return await work();
  } finally {
    process.off("SIGINT", leave).off("SIGTERM", leave);
  }
}
