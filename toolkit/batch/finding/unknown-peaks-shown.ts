import { DISPLAY, displayOf } from "../../display.js";
import type { UnknownPeak, UnknownPeaks } from "../types.js";

/** The peaks as an array that shows itself; what it shows with is not listed among its entries. */
export function shownUnknowns(peaks: readonly UnknownPeak[]): UnknownPeaks {
  const list = [...peaks] as UnknownPeak[] & { kind: "unknowns" };
  const hidden = (value: unknown): PropertyDescriptor => ({ value, enumerable: false });
  Object.defineProperty(list, "kind", hidden("unknowns"));
  Object.defineProperty(
    list,
    "toString",
    hidden(() => textOf(peaks)),
  );
  Object.defineProperty(
    list,
    DISPLAY,
    hidden(() => displayOf(list as unknown as UnknownPeaks)),
  );
  return Object.freeze(list) as unknown as UnknownPeaks;
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
