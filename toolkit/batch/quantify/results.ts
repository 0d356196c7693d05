import { DISPLAY, displayOf } from "../../display.js";
import type { Results } from "../types.js";

/** Gives plain results the ways a notebook and a terminal show them. */
export function makeResults(plain: Omit<Results, "toString" | typeof DISPLAY>): Results {
  return {
    ...plain,
    toString() {
      const quantified = this.samples.filter((r) => r.status === "quantified").length;
      const failed = this.checks.filter((c) => !c.passed).length;
      const samples = new Set(this.samples.map((r) => r.sample)).size;
      return `${this.title}: ${samples} samples, ${quantified} results quantified, ${failed} of ${this.checks.length} checks failed, ${this.unknowns.length} unidentified peaks`;
    },
    [DISPLAY]() {
      return displayOf(this);
    },
  };
}
