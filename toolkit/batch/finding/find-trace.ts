import { IonbookError } from "../../errors.js";
import type { Channel, EvaluatedTrace, Results } from "../types.js";
import { namesMeant, quotedList, requireName, suggestion } from "./find-name.js";
import { placesOf } from "./find-sample.js";

/**
 * The trace of an injection.
 *
 * @throws IonbookError "not-a-name", "unknown-injection"
 */
export function findTrace(results: Results, wanted: string): EvaluatedTrace {
  const ids = [...results.traces.keys()];
  requireName(wanted, "An injection", `"${ids[0] ?? "A001"}"`);
  const meant = namesMeant(wanted, ids);
  const trace = meant.length === 1 ? results.traces.get(meant[0]) : undefined;
  if (trace !== undefined) return trace;
  if (meant.length > 1) {
    throw new IonbookError(
      "unknown-injection",
      `"${wanted}" can mean ${quotedList(meant, "or")}: write one of them as it stands`,
    );
  }
  throw new IonbookError("unknown-injection", `No injection "${wanted}". ${adviceOf(results, wanted, ids)}`);
}

/** The trace that belongs to an injection of a channel. */
export function traceOf(results: Results, channel: Channel, injection: string): EvaluatedTrace | undefined {
  for (const trace of results.traces.values()) {
    if (trace.channel === channel && trace.injection.id === injection) return trace;
  }
  return undefined;
}

/** Somebody may name the sample, or its place, instead of its injection. */
function adviceOf(results: Results, wanted: string, ids: readonly string[]): string {
  const solutionOf = (id: string) => results.traces.get(id)?.injection.solution ?? "";
  const places = placesOf(results);
  const [place] = namesMeant(wanted, [...places.keys()]);
  const meant = [
    ...namesMeant(wanted, [...new Set(ids.map(solutionOf))]),
    ...(place === undefined ? [] : (places.get(place) ?? [])),
  ];
  const own = ids.filter((id) => meant.includes(solutionOf(id)));
  return own.length === 0
    ? suggestion(wanted, ids)
    : `"${wanted}" was injected as ${quotedList(own, "and")}: give one of them.`;
}
