import { anchorName } from "../text/markup.js";

/** Where links to an injection's trace, a check or a flag lead. */
export function traceAnchor(injection: string): string {
  return `trace-${anchorName(injection)}`;
}

export function checkAnchor(index: number): string {
  return `check-${index + 1}`;
}

export function flagAnchor(flag: string): string {
  return `flag-${anchorName(flag)}`;
}

export function calibrationAnchor(channel: string, ion: string): string {
  return `calibration-${anchorName(channel, ion)}`;
}

export function balanceAnchor(sample: string): string {
  return `balance-${anchorName(sample)}`;
}
