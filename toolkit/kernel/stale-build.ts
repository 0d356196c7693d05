import { readFileSync, statSync } from "node:fs";

const BUILD_RECORD = new URL("../.tsbuildinfo", import.meta.url);
const ADVICE =
  "The ionbook package was built anew since this kernel started: restart the kernel to use it.\n";

/** Returns a function that gives advice once, when the package on disk is no longer the one that is loaded. */
export function watchBuild(): () => string | undefined {
  let before = readRecord();
  let said = false;
  return () => {
    if (said || before === undefined || changedAt() === before.at) return undefined;
    const now = readRecord();
    // The compiler also touches its record when nothing has changed.
    if (now === undefined || now.text === before.text) {
      before = now ?? before;
      return undefined;
    }
    said = true;
    return ADVICE;
  };
}

function readRecord(): { readonly at: number; readonly text: string } | undefined {
  try {
    return { at: changedAt() ?? 0, text: readFileSync(BUILD_RECORD, "utf8") };
  } catch {
    return undefined;
  }
}

function changedAt(): number | undefined {
  return statSync(BUILD_RECORD, { throwIfNoEntry: false })?.mtimeMs;
}
