import { type CodeCellDocument, type NotebookDocument, textOf } from "../document.js";
import { headingsOf, plainMarkdown } from "./markdown-text.js";
import { textField, wordsOf } from "./output-block.js";

/** What an index says about a notebook. */
export interface NotebookOpening {
  /** The first heading of the first level; "Notebook" without one. */
  readonly title: string;
  /** The answer in plain words; undefined where no cell is tagged "answer" or it has not been run. */
  readonly answer: string | undefined;
  /** True where the notebook or one of its results says that its data are invented. */
  readonly invented: boolean;
}

/** Title, answer and whether the data are invented, for an index of reports. */
export function notebookOpening(document: NotebookDocument): NotebookOpening {
  const index = answerIndex(document);
  const cell = index === undefined ? undefined : (document.cells[index] as CodeCellDocument);
  const words = cell?.outputs.map(wordsOf).filter((found) => found !== undefined && found.text !== "") ?? [];
  const said = words.map((found) => (found?.markdown ? plainMarkdown(found.text) : found?.text));
  return {
    title: titleOf(document) ?? "Notebook",
    answer: said.length === 0 ? undefined : said.join(" "),
    invented: isInvented(document),
  };
}

/** The first heading of the first level. */
export function titleOf(document: NotebookDocument): string | undefined {
  for (const cell of document.cells) {
    if (cell.cell_type !== "markdown") continue;
    const title = headingsOf(textOf(cell.source)).find((heading) => heading.level === 1);
    if (title) return title.text;
  }
  return undefined;
}

/** Index of the first code cell tagged "answer"; undefined without one. */
export function answerIndex(document: NotebookDocument): number | undefined {
  const index = document.cells.findIndex((cell) => {
    const { tags } = cell.metadata;
    return cell.cell_type === "code" && Array.isArray(tags) && tags.includes("answer");
  });
  return index < 0 ? undefined : index;
}

/** The notebook's metadata say it, or a result in it carries our own sign of invented data. */
function isInvented({ metadata, cells }: NotebookDocument): boolean {
  const own = metadata.ionbook as { readonly invented?: unknown } | undefined;
  if (metadata.invented === true || own?.invented === true) return true;
  return cells.some(
    (cell) =>
      cell.cell_type === "code" &&
      cell.outputs.some(
        (output) => "data" in output && textField(output.data["text/html"])?.includes('<p class="invented"'),
      ),
  );
}
