import type { UnknownPeak, UnknownPeaks } from "../types.js";
import { withHiddenMethods } from "./self-showing.js";

/** The peaks as an array that shows itself; what it shows with is not listed among its entries. */
export function shownUnknowns(peaks: readonly UnknownPeak[]): UnknownPeaks {
  const list = Object.defineProperty([...peaks], "kind", { value: "unknowns", enumerable: false });
  return withHiddenMethods(list as unknown as UnknownPeaks, () => textOf(peaks));
}

function textOf(peaks: readonly UnknownPeak[]): string {
  if (peaks.length === 0) return "Every peak has a name.";
  return peaks
    .map(({ name, channel, retentionTime, seenIn }) => {
      const samples = new Set(seenIn.flatMap(({ sample }) => sample ?? []));
      const charges = seenIn.flatMap(({ microequivalents }) => microequivalents?.value ?? []);
      const most =
        charges.length === 0
          ? ""
          : `, up to ${Number(Math.max(...charges).toPrecision(2))} µeq/L as injected`;
      return `${name} (${channel}s, ${retentionTime.toFixed(2)} min): ${seenIn.length} injections, ${samples.size} samples${most}`;
    })
    .join("\n");
}
