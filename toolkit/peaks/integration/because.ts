import type { Prepared } from "./placed-peak.js";
import { type Surroundings, VALLEY_SHARE } from "./surroundings.js";

const ALLOWED = `${100 * VALLEY_SHARE} %`;

/** Why a peak was summed. */
export function becauseApart(own: Prepared, around: Surroundings): string {
  const [left, right] = levels(own, around);
  if (!own.present) return "no peak stands here: the window of the expected one was summed";
  const highest = Math.max(left, right);
  const level =
    highest <= VALLEY_SHARE
      ? `at its limits the signal stands at ${percent(left)} and ${percent(right)} of its height, below ${ALLOWED}`
      : `at its limits the signal stands within three times the noise of the baseline (${percent(left)} and ${percent(right)} of its height)`;
  return around.neighbours.length === 0 ? `no neighbour reaches into its window; ${level}` : level;
}

/** Why a peak was fitted together with its neighbours, or alone. */
export function becauseOverlapped(own: Prepared, peaks: readonly Prepared[], around: Surroundings): string {
  const level = `at its ${sides(around)} the signal stands at ${percent(Math.max(...levels(own, around)))} of its height (below ${ALLOWED} it would be summed)`;
  if (!own.present) return "no peak stands here: its expected window is shared with its neighbours by a fit";
  if (around.neighbours.length === 0)
    return `${level}, though no peak was found beside it: fitted alone over a local straight background`;
  const ratio = Math.max(...around.neighbours.map((j) => peaks[j].height)) / own.height;
  const compared =
    ratio >= 1
      ? `the highest neighbour is ${figure(ratio)} times as high`
      : `it is ${figure(1 / ratio)} times as high as the highest neighbour`;
  return `${level}; ${compared}`;
}

/** Why a peak was taken for a rider on a much higher one. */
export function becauseRiding(own: Prepared, giant: Prepared): string {
  const gap = Math.abs(own.apex - giant.apex) / own.sigma;
  const side = own.apex > giant.apex ? "after" : "before";
  return `a peak ${figure(giant.height / Math.max(own.height, Number.MIN_VALUE))} times as high stands ${figure(gap)} σ ${side === "after" ? "before" : "after"} it, and its ${side === "after" ? "tail" : "front"} lies under this one`;
}

/** Signal at the limits over the height. */
function levels(own: Prepared, { levelLeft, levelRight }: Surroundings): readonly [number, number] {
  const height = Math.max(Math.abs(own.height), Number.MIN_VALUE);
  return [levelLeft / height, levelRight / height];
}

function sides({ raisedLeft, raisedRight }: Surroundings): string {
  if (raisedLeft && raisedRight) return "limits";
  return raisedLeft ? "earlier limit" : "later limit";
}

const percent = (share: number): string => {
  const value = 100 * share;
  return `${Math.abs(value) < 0.05 ? "0" : figure(value)} %`;
};

/** Two significant digits, written out. */
function figure(value: number): string {
  const rounded = Number(value.toPrecision(2));
  return Math.abs(rounded) >= 10 ? String(Math.round(rounded)) : String(rounded);
}
