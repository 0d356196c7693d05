import { allowedDifference, type RecordData, valueText } from "../record-data.js";
import type { Difference } from "./difference.js";
import type { FoundRecord } from "./stored-records.js";

/** A standard uncertainty may always differ by so much: it is given with two digits. */
const OF_U = 0.01;
/** And never by more, however wide the tolerance of the value is. */
const MOST_OF_U = 0.2;
/** Rounding of the comparison itself. */
const SLACK = 1 + 1e-12;

/**
 * Compares the recorded results of a notebook with those of a new run, each with its namesake in the same cell.
 * The narrower of both tolerances holds, so that widening it in the file alone hides nothing.
 */
export function compareRecords(
  stored: readonly FoundRecord[],
  now: readonly FoundRecord[],
): readonly Difference[] {
  const waiting = new Map(now.map((record) => [keyOf(record), record]));
  const found: Difference[] = [];
  for (const record of stored) {
    const fresh = waiting.get(keyOf(record));
    waiting.delete(keyOf(record));
    const { cell, data } = record;
    const place = { cell, name: data.name };
    if (fresh === undefined) {
      const message = `cell ${cell}, "${data.name}": recorded as ${valueText(data)}, but not produced now`;
      found.push({ kind: "missing", ...place, message });
      continue;
    }
    const change = changeOf(data, fresh.data);
    if (change !== undefined) {
      found.push({ kind: "changed", ...place, message: `cell ${cell}, "${data.name}": ${change}` });
    }
  }
  for (const { cell, data } of waiting.values()) {
    const message = `cell ${cell}, "${data.name}": ${valueText(data)} now, but not recorded in the file`;
    found.push({ kind: "new", cell, name: data.name, message });
  }
  return found;
}

function keyOf({ cellId, turn, data }: FoundRecord): string {
  return JSON.stringify([cellId, data.name, turn]);
}

/** In what two records of one name differ, in words; undefined where they agree. */
export function changeOf(stored: RecordData, now: RecordData): string | undefined {
  const both = `stored ${valueText(stored)}, now ${valueText(now)}`;
  if (stored.unit !== now.unit) return `${both}: the unit differs`;
  if (typeof stored.value !== "number" || typeof now.value !== "number") {
    return stored.value === now.value ? undefined : both;
  }
  const allowed = Math.min(allowedDifference(stored), allowedDifference(now));
  const unit = stored.unit === null || stored.unit === "1" ? "" : ` ${stored.unit}`;
  if (!(Math.abs(stored.value - now.value) <= allowed * SLACK)) {
    const limit = allowed === 0 ? "must be the same" : `may differ by ${allowed.toPrecision(2)}${unit}`;
    return `stored ${stored.value}${unit}, now ${now.value}${unit}: ${limit}`;
  }
  if ((stored.u === null) !== (now.u === null)) return `${both}: one has an uncertainty, the other none`;
  const share = Math.min(MOST_OF_U, Math.max(OF_U, Math.min(stored.tolerance, now.tolerance)));
  const [before, after] = [stored.u ?? 0, now.u ?? 0];
  if (Math.abs(before - after) <= share * before * SLACK) return undefined;
  return `u stored ${before}${unit}, now ${after}${unit}: may differ by ${Number((100 * share).toPrecision(2))} %`;
}
