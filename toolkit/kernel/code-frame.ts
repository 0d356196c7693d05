/**
 * Lines of code around a place, the line marked and the place underlined.
 *
 * @param line of `lines`, counted from 1
 * @param column counted from 1
 * @param width characters to underline
 * @param around lines shown before and after
 */
export function codeFrame(
  lines: readonly string[],
  line: number,
  column: number,
  width: number,
  around: number,
): readonly string[] {
  const first = Math.max(1, line - around);
  const last = Math.min(lines.length, line + around);
  const digits = String(last).length;
  const frame: string[] = [];
  for (let number = first; number <= last; number += 1) {
    const mark = number === line ? "→" : " ";
    frame.push(`  ${mark} ${String(number).padStart(digits)} │ ${lines[number - 1]}`.trimEnd());
    if (number !== line) continue;
    // A tab before the place must stay one, or the underline drifts.
    const indent = (lines[number - 1] ?? "").slice(0, column - 1).replace(/[^\t]/g, " ");
    frame.push(`    ${" ".repeat(digits)} │ ${indent}${"~".repeat(Math.max(1, width))}`);
  }
  return frame;
}
