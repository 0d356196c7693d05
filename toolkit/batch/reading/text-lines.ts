/** Characters between the columns of a text table. A space stands for any run of blanks. */
export type Delimiter = "," | ";" | "\t" | " ";

/** One line of a text, without its line end. */
export interface TextLine {
  readonly text: string;
  /** Counted from 1. */
  readonly number: number;
  /** Where the following line begins in the whole text. */
  readonly next: number;
}

/** The line of `text` that begins at an offset and is known by a number. Copes with LF and CRLF. */
export function lineAt(text: string, offset: number, number: number): TextLine {
  const found = text.indexOf("\n", offset);
  const end = found < 0 ? text.length : found;
  const trimmed = end > offset && text.charCodeAt(end - 1) === 13 ? end - 1 : end;
  return { text: text.slice(offset, trimmed), number, next: end + 1 };
}

/** The lines of `text` from its beginning, one after the other. */
export function* linesOf(text: string): Generator<TextLine> {
  let offset = 0;
  for (let number = 1; offset < text.length; number++) {
    const line = lineAt(text, offset, number);
    yield line;
    offset = line.next;
  }
}

/** The delimiter a line of numbers or titles uses: the rarest that occurs, so that decimal commas do not mislead. */
export function delimiterOf(line: string): Delimiter {
  if (line.includes("\t")) return "\t";
  if (line.includes(";")) return ";";
  if (line.includes(",")) return ",";
  return " ";
}

/** The cells of a line. Blanks around a cell are dropped; runs of blanks count as one delimiter. */
export function splitLine(line: string, delimiter: Delimiter): string[] {
  if (delimiter === " ") return line.trim().split(/\s+/);
  return line.split(delimiter).map((cell) => cell.trim());
}

/** True for a line without data: blank, or a comment that begins with #. */
export function isBlankOrComment(line: string): boolean {
  const text = line.trimStart();
  return text === "" || text.startsWith("#");
}
