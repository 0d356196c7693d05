import type { EvaluatedTrace, IonCalibration, SampleBalance } from "../types.js";
import { type SelfShowing, selfShowing } from "./self-showing.js";

/** The traces by the same keys, each able to show itself. */
export function shownTraces(
  traces: ReadonlyMap<string, EvaluatedTrace>,
): ReadonlyMap<string, EvaluatedTrace & SelfShowing> {
  return new Map([...traces].map(([key, trace]) => [key, selfShowing(trace, traceText)]));
}

export function shownCalibrations(
  calibrations: readonly IonCalibration[],
): readonly (IonCalibration & SelfShowing)[] {
  return calibrations.map((calibration) => selfShowing(calibration, calibrationText));
}

export function shownBalances(balances: readonly SampleBalance[]): readonly (SampleBalance & SelfShowing)[] {
  return balances.map((balance) => selfShowing(balance, balanceText));
}

function traceText({ injection, channel, peaks }: EvaluatedTrace): string {
  const what = injection.solution === "" ? injection.kind : injection.solution;
  return `injection ${injection.id} (${what}), ${channel} channel: ${peaks.map((peak) => peak.ion).join(", ") || "no peaks"}`;
}

function calibrationText({ ion, curve, verdict }: IonCalibration): string {
  return `${ion}: ${curve}; ${verdict}`;
}

function balanceText({ sample, cations, anions, percentDifference, passed }: SampleBalance): string {
  return `${sample}: cations ${cations}, anions ${anions}, difference ${percentDifference}, ${passed ? "passes" : "fails"}`;
}
