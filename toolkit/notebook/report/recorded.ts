import { type Content, html } from "../../show/text/markup.js";
import { decimalsFor, fixed, quantity, significant, trimmed } from "../../show/text/numbers.js";
import type { MimeBundle, NotebookDocument } from "../document.js";
import { RECORD_TYPE, type RecordData, toleranceText } from "../record-data.js";

/** A recorded result and the cell that recorded it, numbered from 1 over all cells. */
export interface RecordedInCell extends RecordData {
  readonly cell: number;
}

/** The recorded result of an output; undefined where it holds none. */
export function recordedIn(data: MimeBundle): RecordData | undefined {
  const given = data[RECORD_TYPE];
  const found: unknown = typeof given === "string" ? parsed(given) : given;
  if (typeof found !== "object" || found === null) return undefined;
  const { name, value, u, unit, tolerance } = found as Record<string, unknown>;
  if (typeof name !== "string" || !/^(?:number|string|boolean)$/.test(typeof value)) return undefined;
  return {
    name,
    value: value as RecordData["value"],
    u: typeof u === "number" ? u : null,
    unit: typeof unit === "string" ? unit : null,
    tolerance: typeof tolerance === "number" && tolerance > 0 ? tolerance : 0,
  };
}

/** All recorded results of a notebook in their order. */
export function allRecorded(document: NotebookDocument): readonly RecordedInCell[] {
  return document.cells.flatMap((cell, index) => {
    if (cell.cell_type !== "code") return [];
    return cell.outputs.flatMap((output) => {
      const found = "data" in output ? recordedIn(output.data) : undefined;
      return found ? [{ ...found, cell: index + 1 }] : [];
    });
  });
}

/** "12.40 mg/L, u = 0.15 mg/L": the value to the second figure of its standard uncertainty. */
export function recordedText(recorded: RecordData): string {
  const { value, u } = recorded;
  const unit = recorded.unit ?? "";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "string") return value;
  const withUnit = (text: string): string => (unit === "" || unit === "1" ? text : quantity(text, unit));
  if (u === null || !(u > 0)) return withUnit(trimmed(value, 6));
  const decimals = Math.max(0, Math.min(decimalsFor(u, 2), 12));
  return `${withUnit(fixed(value, decimals))}, u${"\u202f"}=${"\u202f"}${withUnit(significant(u, 2))}`;
}

/** The thin line that stands in the place of a recorded result. */
export function recordedLine(recorded: RecordData): Content {
  return html`<p class="recorded"><span class="mark-word">recorded</span> ${recorded.name}: <strong>${recordedText(recorded)}</strong> <small>when run again, it ${toleranceText(recorded)}</small></p>
`;
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
