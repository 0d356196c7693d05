import type { CellDiagnostic } from "./cell-compiler.js";
import { codeFrame } from "./code-frame.js";
import type { Failure } from "./thread-messages.js";

/** More than this many faults are mostly echoes of the first. */
const MOST_SHOWN = 8;

/** The compiler's findings as an error whose first line says what and where. */
export function diagnosticsFailure(
  diagnostics: readonly CellDiagnostic[],
  source: string,
  count: number,
): Failure {
  const lines = source.split("\n");
  const shown = diagnostics.slice(0, MOST_SHOWN);
  const traceback = shown.flatMap((each) => {
    const { line, column, code, file, message } = each;
    const place = `${file ?? `In[${count}]`}, line ${line}, column ${column}`;
    const width =
      each.endLine === line ? each.endColumn - column : (lines[line - 1]?.length ?? 0) - column + 1;
    return [
      `${message}  (TS${code})`,
      `  ${place}`,
      ...(file ? [] : codeFrame(lines, line, column, width, 0)),
    ];
  });
  const left = diagnostics.length - shown.length;
  if (left > 0) traceback.push(`… and ${left} more`);
  const [first] = diagnostics;
  const own = diagnostics.find((each) => each.file === undefined);
  return {
    ename: "TypeScriptError",
    evalue: `${first.message} (${first.file ? `${first.file}, ` : ""}line ${first.line})`,
    traceback: [`TypeScriptError: the cell was not run`, ...traceback],
    ...(own ? { place: { line: own.line, column: own.column } } : {}),
  };
}
