import type { DisplayBundle } from "../display.js";

/** MIME type of a recorded result's data. */
export const RECORD_TYPE = "application/vnd.ionbook.record+json";

/** What a notebook keeps of a recorded result. */
export interface RecordData {
  readonly name: string;
  readonly value: number | string | boolean;
  /** Standard uncertainty in `unit`; null where the value has none. */
  readonly u: number | null;
  readonly unit: string | null;
  /** Relative to `scaleOf` value and u. */
  readonly tolerance: number;
}

/** What a record shows: text, the same as HTML, and the data. All of it follows from the data. */
export function recordBundle(data: RecordData): DisplayBundle {
  const { name, value, u, unit, tolerance } = data;
  return {
    "text/plain": recordText(data),
    "text/html": `<p class="ionbook-record"><strong>${escaped(name)}</strong>: ${escaped(valueText(data))} <small>recorded, ${escaped(toleranceText(data))}</small></p>`,
    [RECORD_TYPE]: { name, value, u, unit, tolerance },
  };
}

/** "chloride rise in well 3: 12.4 mg/L, u = 0.25 mg/L (recorded, may differ by 0.05 mg/L)". */
export function recordText(data: RecordData): string {
  return `${data.name}: ${valueText(data)} (recorded, ${toleranceText(data)})`;
}

/** A recorded value with its unit and standard uncertainty. */
export function valueText({ value, u, unit }: RecordData): string {
  if (typeof value === "string") return `"${value}"`;
  const behind = unitText(unit);
  if (typeof value === "boolean") return value ? "true" : "false";
  if (u === null || u === 0) return `${value}${behind}`;
  return `${digitsOf(value, u)}${behind}, u = ${twoDigits(u)}${behind}`;
}

/** Below this part of u a value counts as 0. */
const NOTHING = 1e-12;

/** What a tolerance is relative to: the value, or u where the value is 0. */
export function scaleOf(value: number, u: number): number {
  return Math.abs(value) > NOTHING * u ? Math.abs(value) : u;
}

/** How far a later run may be from this value, in its unit. */
export function allowedDifference({ value, u, tolerance }: RecordData): number {
  if (typeof value !== "number") return 0;
  return tolerance * scaleOf(value, u ?? 0);
}

/** Where a later run may be, in words. */
export function toleranceText(data: RecordData): string {
  const allowed = allowedDifference(data);
  return allowed === 0 ? "must stay the same" : `may differ by ${twoDigits(allowed)}${unitText(data.unit)}`;
}

function unitText(unit: string | null): string {
  return unit === null || unit === "1" ? "" : ` ${unit}`;
}

/** Two digits more than u tells, so that a change that counts is seen. */
function digitsOf(value: number, u: number): string {
  const spare = Math.floor(Math.log10(Math.abs(value) / u)) + 4;
  return `${Number(value.toPrecision(Math.min(17, Math.max(2, spare))))}`;
}

function twoDigits(x: number): string {
  return `${Number(x.toPrecision(2))}`;
}

function escaped(text: string): string {
  return text
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;");
}
