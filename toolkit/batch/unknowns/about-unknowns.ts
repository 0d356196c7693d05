import { median } from "../../numeric/robust.js";
import { combineLinear } from "../../uncertainty/measured.js";
import type { Batch, EvaluatedTrace, UnknownPeak } from "../types.js";
import type { UnknownAbout } from "../unknown-types.js";
import { type NamedTime, unknownPlace } from "./unknown-place.js";

/** The unidentified peaks of a channel with what its batch tells of them. */
export function aboutUnknowns(
  unknowns: readonly UnknownPeak[],
  batch: Batch,
  traces: readonly EvaluatedTrace[],
  named: readonly NamedTime[],
): UnknownPeak[] {
  const samplesOf = new Map(unknowns.map((each) => [each.name, samplesShowing(each)]));
  return unknowns.map((unknown) => ({
    ...unknown,
    about: aboutOne(unknown, batch, traces, named, samplesOf),
  }));
}

function aboutOne(
  unknown: UnknownPeak,
  batch: Batch,
  traces: readonly EvaluatedTrace[],
  named: readonly NamedTime[],
  samplesOf: ReadonlyMap<string, ReadonlySet<string>>,
): UnknownAbout {
  const seen = new Set(unknown.seenIn.map(({ injection }) => injection));
  const own = traces.filter(({ injection }) => seen.has(injection.id));
  const widths = own.flatMap(({ peaks }) =>
    peaks.flatMap(({ ion, widthHalf }) =>
      ion === unknown.name && widthHalf !== undefined ? [widthHalf] : [],
    ),
  );
  const blanks = batch.injections.filter(({ kind }) => kind === "blank");
  const times = own.map(({ injection }) => injection.injectedAt).sort();
  return {
    injections: seen.size,
    samples: samplesOf.get(unknown.name)?.size ?? 0,
    widthHalf: widths.length === 0 ? undefined : median(widths),
    blanks: { seen: blanks.filter(({ id }) => seen.has(id)).length, of: blanks.length },
    firstSeen: times[0] ?? "",
    lastSeen: times.at(-1) ?? "",
    largest: largestOf(unknown, batch),
    seenWith: companions(unknown.name, samplesOf),
    place: unknownPlace(unknown.retentionTime, named, {
      channel: batch.method.channel,
      eluent: batch.method.eluent?.kind,
      ions: batch.method.ions.map(({ ion }) => ion),
    }),
  };
}

function samplesShowing({ seenIn }: UnknownPeak): ReadonlySet<string> {
  return new Set(seenIn.flatMap(({ sample }) => sample ?? []));
}

function largestOf({ seenIn }: UnknownPeak, batch: Batch): UnknownAbout["largest"] {
  const dilutionOf = new Map(batch.injections.map(({ id, dilution }) => [id, dilution]));
  const amounts = seenIn.flatMap(({ sample, injection, microequivalents, upper }) => {
    if (sample === undefined || microequivalents === undefined) return [];
    const factor = dilutionOf.get(injection) ?? 1;
    return [
      {
        sample,
        microequivalents: combineLinear([{ value: microequivalents, factor }], "µeq/L"),
        upper: upper && combineLinear([{ value: upper, factor }], "µeq/L"),
      },
    ];
  });
  return amounts.sort((a, b) => b.microequivalents.value - a.microequivalents.value)[0];
}

/** Other peaks in the samples that show one, by how many samples show both. */
export function companions(
  name: string,
  samplesOf: ReadonlyMap<string, ReadonlySet<string>>,
): UnknownAbout["seenWith"] {
  const own = samplesOf.get(name) ?? new Set<string>();
  return [...samplesOf]
    .map(([other, theirs]) => ({
      name: other,
      samples: other === name ? 0 : [...theirs].filter((sample) => own.has(sample)).length,
    }))
    .filter(({ samples }) => samples > 0)
    .sort((a, b) => b.samples - a.samples);
}
