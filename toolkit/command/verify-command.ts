import { IonbookError, isIonbookError } from "../errors.js";
import { verifyNotebook } from "../notebook/verify/verify-notebook.js";
import { readArguments } from "./arguments.js";
import { interruptible, notebookWords, timeoutOption } from "./notebook-words.js";
import { progressLine } from "./progress-line.js";

/** `ionbook verify NOTEBOOK… [--timeout SECONDS]`: one line for each that holds; what differs for the others. */
export async function verifyCommand(args: readonly string[]): Promise<void> {
  const { words, options } = readArguments(args, { timeout: true });
  const notebooks = notebookWords("verify", words);
  const limits = timeoutOption(options.get("timeout"));
  const faults: string[] = [];
  for (const notebook of notebooks) {
    const fault = await interruptible(() => verifyOne(notebook, limits));
    if (fault !== undefined) faults.push(fault);
  }
  if (faults.length === 0) return;
  const head = `${faults.length} of ${notebooks.length} notebooks ${faults.length === 1 ? "does" : "do"} not hold`;
  throw new IonbookError("not-verified", [head, ...faults].join("\n"));
}

async function verifyOne(
  notebook: string,
  limits: ReturnType<typeof timeoutOption>,
): Promise<string | undefined> {
  const progress = progressLine("cells");
  try {
    const found = await verifyNotebook(notebook, { ...limits, onProgress: progress.update });
    progress.stop();
    if (!found.holds) return String(found);
    console.log(String(found));
    return undefined;
  } catch (error) {
    // One notebook that cannot be read or run leaves the others to be verified.
    if (isIonbookError(error)) return `${notebook}: ${error.message}`;
    throw error;
  } finally {
    progress.stop();
  }
}
