import { combineLinear, type MeasuredValue } from "../../uncertainty/measured.js";
import { isStrongIon, unknownAnionEquivalents } from "../../water/unknowns/unknown-equivalents.js";
import type { Batch, SampleResult, UnknownPeak } from "../types.js";
import { areaOf, type IonCurve } from "./calibrate-ions.js";
import type { EvaluatedChannel } from "./evaluate-channel.js";
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
        return {
          injection: run.injection.id,
          sample: run.injection.kind === "sample" ? run.injection.solution : undefined,
          area,
          microequivalents:
            channel.batch.method.channel === "anion" ? chargeOf(area, group.name, curves) : undefined,
        };
      }),
    }));
}

/** µeq/L in the injected solution, matched at equal area with the calibrated strong ions whose range holds that area. */
function chargeOf(
  area: MeasuredValue,
  name: string,
  curves: readonly (IonCurve | undefined)[],
): MeasuredValue | undefined {
  const references = curves.flatMap((fitted) => {
    if (!fitted || !isStrongIon(fitted.ion.ion)) return [];
    const { curve, lowestLevel, highestLevel } = fitted;
    if (area.value < 0.5 * curve.respond(lowestLevel) || area.value > curve.respond(highestLevel)) return [];
    return [{ ion: fitted.ion.ion, concentration: curve.concentration(area, { beyondRange: "allow" }) }];
  });
  return references.length === 0
    ? undefined
    : unknownAnionEquivalents({ area, name, references }).microequivalents;
}

/** Charge of all unidentified anions of each sample, meq/L in the sample: per peak, the least diluted injection that shows it. */
export function unknownCharges(
  unknowns: readonly UnknownPeak[],
  samples: readonly SampleResult[],
  batches: readonly Batch[],
): ReadonlyMap<string, MeasuredValue> {
  const out = new Map<string, MeasuredValue>();
  const dilutions = new Map(
    batches.flatMap((b) =>
      b.injections.map((i) => [JSON.stringify([b.method.channel, i.id]), i.dilution] as const),
    ),
  );
  const dilutionOf = (unknown: UnknownPeak, injection: string) =>
    dilutions.get(JSON.stringify([unknown.channel, injection])) ?? 1;
  for (const sample of new Set(samples.map((s) => s.sample))) {
    const terms = unknowns.flatMap((unknown) => {
      const seen = unknown.seenIn
        .filter((s) => s.sample === sample && s.microequivalents !== undefined)
        .sort((a, b) => dilutionOf(unknown, a.injection) - dilutionOf(unknown, b.injection));
      const [first] = seen;
      if (!first?.microequivalents) return [];
      return [{ value: first.microequivalents, factor: dilutionOf(unknown, first.injection) / 1000 }];
    });
    if (terms.length > 0) out.set(sample, combineLinear(terms, "meq/L"));
  }
  return out;
}
