import type { PageSection } from "../../show/page/page-shell.js";
import { type Content, html, Markup } from "../../show/text/markup.js";
import {
  type CellDocument,
  type CodeCellDocument,
  type NotebookDocument,
  type Output,
  textOf,
} from "../document.js";
import { codeBlock } from "./code-block.js";
import {
  headingsOf,
  type MarkdownContext,
  markdownBlocks,
  markdownMarkup,
  type TextBlock,
} from "./markdown-text.js";
import { answerIndex } from "./notebook-opening.js";
import { type OutputContext, outputBlock, wordsOf } from "./output-block.js";
import type { PageNames } from "./page-names.js";
import { plainBlock } from "./text-blocks.js";

/** A notebook's cells, sorted into the parts of a page. */
export interface WrittenCells {
  /** The heading of the first level with its formulae; undefined without one. */
  readonly title: Content;
  /** The paragraph below the title. */
  readonly lead: Content;
  readonly answer: Content;
  /** What else stands above the first heading of the second level. */
  readonly opening: Content;
  readonly sections: readonly PageSection[];
  /** True where a trace is to be zoomed. */
  readonly traces: boolean;
}

interface Part {
  readonly heading: Extract<TextBlock, { kind: "heading" }>;
  readonly body: Content[];
  readonly parts: { id: string; heading: string }[];
}

/** Goes through the cells once, in their order. */
export class CellWriter {
  private readonly parts: Part[] = [];
  private readonly opening: Content[] = [];
  private readonly answerAt: number | undefined;
  private title: Content;
  private lead: Content;
  private answer: Content;
  private figures = 0;
  private codeCells = 0;
  /** Ids of all headings in their order, given out before any link is written. */
  private readonly headingIds: string[] = [];

  constructor(
    private readonly document: NotebookDocument,
    private readonly names: PageNames,
    private readonly pictures: ReadonlyMap<number, ReadonlyMap<string, string>>,
  ) {
    this.answerAt = answerIndex(document);
    for (const cell of document.cells) {
      if (cell.cell_type !== "markdown") continue;
      for (const { text } of headingsOf(textOf(cell.source))) this.headingIds.push(names.forHeading(text));
    }
  }

  write(): WrittenCells {
    this.document.cells.forEach((cell, index) => {
      if (cell.cell_type === "markdown") this.markdown(cell, index);
      else if (cell.cell_type === "code") this.code(cell, index);
      else this.add(plainBlock(textOf(cell.source)));
    });
    const sections = this.parts.map(({ heading, body, parts }) => ({
      id: heading.id,
      heading: heading.markup,
      short: heading.text,
      body,
      parts,
    }));
    const all = html`${this.answer}${this.opening}${sections.map((section) => section.body)}`.text;
    return {
      title: this.title,
      lead: this.lead,
      answer: this.answer,
      opening: this.opening,
      sections,
      traces: all.includes('class="ib-data"'),
    };
  }

  private add(content: Content): void {
    const part = this.parts[this.parts.length - 1];
    (part?.body ?? this.opening).push(content);
  }

  private markdown(cell: CellDocument, index: number): void {
    for (const block of markdownBlocks(textOf(cell.source), this.texts(index))) {
      if (block.kind === "heading") this.heading(block);
      else if (block.kind === "paragraph" && this.lead === undefined && this.startsPage())
        this.lead = block.markup;
      else this.add(block.markup);
    }
  }

  /** True below the title while nothing else has been written. */
  private startsPage(): boolean {
    return this.title !== undefined && this.parts.length === 0 && this.opening.length === 0;
  }

  private heading(block: Extract<TextBlock, { kind: "heading" }>): void {
    const { level, id, text, markup } = block;
    if (level === 1 && this.title === undefined) {
      this.title = html`<span id="${id}">${markup}</span>`;
      return;
    }
    if (level <= 2) {
      this.parts.push({ heading: block, body: [], parts: [] });
      return;
    }
    const tag = new Markup(`h${Math.min(level, 6)}`);
    this.add(html`<${tag} id="${id}">${markup}</${tag}>\n`);
    if (level === 3) this.parts[this.parts.length - 1]?.parts.push({ id, heading: text });
  }

  private code(cell: CodeCellDocument, index: number): void {
    this.codeCells += 1;
    const shown = { cell, codeCell: cell.execution_count ?? this.codeCells };
    const failed = cell.outputs.some((output) => output.output_type === "error");
    const context = this.outputs(index);
    const isAnswer = index === this.answerAt;
    if (isAnswer) this.answer = this.answerOf(cell, context);
    const moved = isAnswer && this.answer !== undefined;
    const rest = moved ? cell.outputs.filter((each) => !isWords(each)) : cell.outputs;
    // Right below the answer itself there is no need to say where it stands.
    const far = moved && this.parts.length > 0;
    this.add(html`<div class="cell-start" id="cell-${index + 1}"></div>
${codeBlock(textOf(cell.source), failed)}${far && html`<p class="note">What this cell says is <a href="#answer">the answer at the top</a>.</p>\n`}${rest.map((output) => outputBlock(output, shown, context))}`);
  }

  /** The words of the answer; figures and tables of the same cell stay in their place. */
  private answerOf(cell: CodeCellDocument, context: OutputContext): Content {
    const words = cell.outputs.map(wordsOf).filter((found) => found !== undefined && found.text !== "");
    if (words.length === 0) return undefined;
    return words.map((found) => {
      if (found?.markdown)
        return html`<div class="answer">${markdownMarkup(found.text, context.markdown)}</div>\n`;
      const lines = (found?.text ?? "").split(/\n\s*\n/).map((each) => html`<p>${each}</p>`);
      return html`<div class="answer">${lines}</div>\n`;
    });
  }

  private texts(index: number): MarkdownContext {
    return {
      target: (fragment) => this.names.find(fragment),
      picture: (address) => this.pictures.get(index)?.get(address),
      nameHeading: () => this.headingIds.shift() ?? "part",
    };
  }

  private outputs(index: number): OutputContext {
    const nextName = (): string => {
      this.figures += 1;
      return `output-${this.figures}`;
    };
    return { markdown: this.texts(index), nextName };
  }
}

function isWords(output: Output): boolean {
  const words = wordsOf(output);
  return words !== undefined && words.text !== "";
}
