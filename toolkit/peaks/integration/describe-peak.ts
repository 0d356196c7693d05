import { refusalBeside } from "../riders/refuse-beside.js";
import { compareWithAnchored } from "./compare-baselines.js";
import type { RuleComparison } from "./compare-rules.js";
import { giantBeside } from "./giant.js";
import type { DetailedIntegration } from "./integrate.js";
import { areaWithSources, type IntegratedPeak, ruleName } from "./integrated-peak.js";
import { INTEGRATION_RULES, type IntegrationRule } from "./integration-rules.js";
import type { PartedPeak } from "./place-partners.js";
import type { AreaSource, IntegrateOptions } from "./placed-peak.js";
import { noiseOf } from "./placed-peak.js";
import type { RecordNoise } from "./record-noise.js";
import type { RecordRegion } from "./record-region.js";

/** Everything that describing a peak looks at. */
export interface IntegrationWork {
  readonly region: RecordRegion;
  readonly free: Uint8Array;
  readonly noise: RecordNoise;
  readonly engine: IntegrateOptions;
  readonly detail: DetailedIntegration;
  readonly rules: RuleComparison;
}

/** One peak of the result. */
export function describePeak(
  work: IntegrationWork,
  { host, parting }: PartedPeak,
  k: number,
  rule: IntegrationRule | undefined,
): IntegratedPeak {
  const { region, detail, noise } = work;
  const { chromatogram, interval, offset } = region;
  const measured = detail.measured[k];
  const chosen = ruleName(measured);
  const forced = rule === undefined ? undefined : forcedArea(work, k, rule);
  const area = forced?.area ?? measured.area;
  const sources: readonly AreaSource[] = [
    ...measured.sources,
    ...baselineChoice(work, k),
    {
      name: "integration rule",
      u: forced === undefined ? work.rules.uncertainty(k) : Math.abs(forced.difference) / Math.sqrt(3),
    },
    { name: "shoulder", u: parting?.accepted === false ? Math.abs(parting.area) / Math.sqrt(3) : 0 },
  ];
  const name = `${chromatogram.id}, ${host.retentionTime.toFixed(2)} min`;
  const timeOf = (i: number) => region.start + i * interval;
  const { sigma, tau } = detail.prepared[k];
  const uNoise = forced?.uNoise ?? measured.uNoise;
  const refusal =
    measured.refusal ??
    refusalBeside(
      { area, uNoise, uOther: Math.hypot(...sources.map(({ u }) => u)), giantRatio: giantRatio(work, k) },
      work.engine.refuseAbove,
    );
  return {
    ...host,
    start: timeOf(measured.first),
    end: timeOf(measured.last),
    area: areaWithSources(area, { u: uNoise, dof: noise.dof }, sources, {
      interval,
      unit: `${chromatogram.signalUnit}·min`,
      name,
    }),
    rule: forced === undefined ? chosen : forced.rule,
    because: withParting(forced?.because ?? measured.because ?? "", parting),
    alternatives: alternativesOf(work, k, area),
    quantifiable: refusal === undefined,
    ...(refusal === undefined ? {} : { refusal }),
    sigma: sigma * interval,
    tau: tau * interval,
    component: { first: offset + measured.first, values: measured.component },
  };
}

/** Beside a peak so many times higher this one is a rider, by whatever rule it was measured. */
const RIDER_RATIO = 10;

function giantRatio(
  { detail: { smooth, prepared, around } }: IntegrationWork,
  k: number,
): number | undefined {
  const giant = giantBeside(smooth, prepared, k, RIDER_RATIO, around[k]);
  if (giant === undefined) return undefined;
  return prepared[giant].height / Math.max(prepared[k].height, Number.MIN_VALUE);
}

/** The reason with what became of a shoulder. */
function withParting(because: string, parting: PartedPeak["parting"]): string {
  if (parting === undefined) return because;
  const { accepted, own, because: figures } = parting;
  if (!accepted) return `${because}; a shoulder is counted along, no peak of its own: ${figures}`;
  return own
    ? `a peak without a maximum of its own, told from its neighbour by a fit: ${figures}; ${because}`
    : `${because}; a neighbour without a maximum was told from it by a fit: ${figures}`;
}

function alternativesOf(
  { rules, region }: IntegrationWork,
  k: number,
  area: number,
): IntegratedPeak["alternatives"] {
  return INTEGRATION_RULES.flatMap((rule) => {
    const other = rule === "summation" ? undefined : rules.ruled(k, rule);
    if (other === undefined) return [];
    const { interval } = region;
    return [{ rule, area: other.area * interval, difference: (other.area - area) * interval }];
  });
}

/** The area by a rule that was asked for by name; where it does not exist the chosen one stays, and says so. */
function forcedArea({ rules, detail, engine }: IntegrationWork, k: number, rule: IntegrationRule) {
  const measured = detail.measured[k];
  const chosen = ruleName(measured);
  const ruled = rules.ruled(k, rule);
  if (ruled === undefined) {
    return {
      area: measured.area,
      uNoise: measured.uNoise,
      rule: chosen,
      difference: 0,
      because: `"${rule}" was asked for, but no valley parts this peak from its neighbour, so it does not exist here; ${measured.because ?? ""}`,
    };
  }
  const difference = ruled.area - measured.area;
  const percent = ((100 * difference) / Math.abs(measured.area)).toFixed(2);
  return {
    area: ruled.area,
    uNoise: noiseOf(ruled.weights, ruled.first, detail.prepared[k], engine),
    rule,
    difference,
    because: `asked for by name; the area differs by ${percent} % from that by ${chosen}, which would have been chosen`,
  };
}

/** The anchored line's difference as the half-width of a rectangle, as far as noise alone does not explain it. */
function baselineChoice({ region, free, engine, detail }: IntegrationWork, k: number): readonly AreaSource[] {
  const measured = detail.measured[k];
  if (measured.shares === undefined) return [];
  const { window, sigma } = detail.prepared[k];
  const compared = compareWithAnchored(region.signal, free, measured, window, sigma, measured.shares, engine);
  if (compared === undefined) return [];
  const open = Math.sqrt(Math.max(compared.difference ** 2 - compared.noise ** 2, 0));
  return [{ name: "baseline choice", u: open / Math.sqrt(3) }];
}
