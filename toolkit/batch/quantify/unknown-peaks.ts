import { combineLinear, type MeasuredValue } from "../../uncertainty/measured.js";
import type { UnknownCharge } from "../../water/balance/unknown-charge.js";
import type { UnknownCell } from "../../water/unknowns/unknown-cell.js";
import {
  isStrongIon,
  type UnknownEquivalents,
  unknownAnionEquivalents,
} from "../../water/unknowns/unknown-equivalents.js";
import type { Batch, Channel, SampleResult, UnknownPeak } from "../types.js";
import { areaOf, type IonCurve } from "./calibrate-ions.js";
import type { EvaluatedChannel, EvaluatedPeak, EvaluatedRun } from "./evaluate-channel.js";
import type { UnknownGroup } from "./name-unknowns.js";
import type { InjectionRepeatability } from "./repeatability.js";

/** The unidentified peaks of a channel, each followed over its injections, with the charge it must carry. */
export function unknownPeaks(
  channel: EvaluatedChannel,
  groups: readonly UnknownGroup[],
  curves: readonly (IonCurve | undefined)[],
  repeatability: InjectionRepeatability,
): UnknownPeak[] {
  return groups
    .filter((g) => !g.system)
    .map((group) => ({
      name: group.name,
      channel: channel.batch.method.channel,
      retentionTime: group.time,
      seenIn: group.members.map(({ run, peak }) => {
        const area = areaOf(run, peak, group.name, repeatability);
        const charge =
          channel.batch.method.channel === "anion" && area.value > 0
            ? chargeOf(area, group.name, curves, cellOf(run, peak))
            : undefined;
        return {
          injection: run.injection.id,
          sample: run.injection.kind === "sample" ? run.injection.solution : undefined,
          area,
          microequivalents: charge?.microequivalents,
          upper: charge?.upper,
        };
      }),
    }));
}

/** µeq/L in the injected solution, matched at equal area with the calibrated strong ions whose range holds that area. */
function chargeOf(
  area: MeasuredValue,
  name: string,
  curves: readonly (IonCurve | undefined)[],
  cell: UnknownCell | undefined,
): UnknownEquivalents | undefined {
  const references = curves.flatMap((fitted) => {
    if (!fitted || !isStrongIon(fitted.ion.ion)) return [];
    const { curve, lowestLevel, highestLevel } = fitted;
    if (area.value < 0.5 * curve.respond(lowestLevel) || area.value > curve.respond(highestLevel)) return [];
    return [{ ion: fitted.ion.ion, concentration: curve.concentration(area, { beyondRange: "allow" }) }];
  });
  if (references.length === 0) return undefined;
  return unknownAnionEquivalents({ area, name, references, ...(cell ? { cell } : {}) });
}

/** A background outside these is not that of carbonic acid in water: zeroed by the detector, or not suppressed, µS/cm. */
const [LEAST_BACKGROUND, MOST_BACKGROUND] = [0.055, 60];

/** What the cell saw of a peak; undefined where its background says nothing of carbonic acid. */
function cellOf({ trace }: EvaluatedRun, { height, time }: EvaluatedPeak): UnknownCell | undefined {
  const at = Math.round((time - trace.start) / trace.interval);
  const background = trace.baseline[Math.min(Math.max(at, 0), trace.baseline.length - 1)];
  if (!(height > 0 && background >= LEAST_BACKGROUND && background <= MOST_BACKGROUND)) return undefined;
  return { height, background };
}

/** Relative standard uncertainty up to which a diluted sight says as much as one that is less diluted. */
const SURE = 0.05;

/**
 * Charge of all unidentified anions of each sample, meq/L in the sample: per peak, its most telling injection. At least so
 * much, since a weak acid shows only what is dissociated; at most what acids of pKa 6 would bring.
 */
export function unknownCharges(
  unknowns: readonly UnknownPeak[],
  samples: readonly SampleResult[],
  batches: readonly Batch[],
): ReadonlyMap<string, UnknownCharge> {
  const out = new Map<string, UnknownCharge>();
  const dilutionOf = dilutions(batches);
  for (const sample of new Set(samples.map((s) => s.sample))) {
    const seen = unknowns.flatMap((unknown) => {
      const sights = unknown.seenIn.flatMap(({ sample: of, microequivalents, upper, injection }) =>
        of === sample && microequivalents !== undefined
          ? [{ microequivalents, upper, dilution: dilutionOf(unknown.channel, injection) }]
          : [],
      );
      return mostTelling(sights) ?? [];
    });
    if (seen.length === 0) continue;
    const sum = (pick: (sight: (typeof seen)[number]) => MeasuredValue | undefined) => {
      const terms = seen.flatMap((sight) => {
        const value = pick(sight);
        return value ? [{ value, factor: sight.dilution / 1000 }] : [];
      });
      return terms.length === seen.length ? combineLinear(terms, "meq/L") : undefined;
    };
    const low = sum((sight) => sight.microequivalents);
    const high = sum((sight) => sight.upper);
    if (low) out.set(sample, high ? { low, high } : { lowerBound: low });
  }
  return out;
}

/**
 * The more diluted, the more of a weak acid is dissociated and the closer its two bounds: the most diluted sight that is
 * sure, else the least diluted one.
 */
export function mostTelling<
  Sight extends { readonly microequivalents: MeasuredValue; readonly dilution: number },
>(sights: readonly Sight[]): Sight | undefined {
  const byDilution = [...sights].sort((a, b) => a.dilution - b.dilution);
  const sure = byDilution.filter(({ microequivalents: { value, u } }) => u <= SURE * value);
  return sure[sure.length - 1] ?? byDilution[0];
}

/** Dilution of an injection by channel and id; 1 where it is not known. */
export function dilutions(batches: readonly Batch[]): (channel: Channel, injection: string) => number {
  const known = new Map(
    batches.flatMap((b) =>
      b.injections.map((i) => [JSON.stringify([b.method.channel, i.id]), i.dilution] as const),
    ),
  );
  return (channel, injection) => known.get(JSON.stringify([channel, injection])) ?? 1;
}
