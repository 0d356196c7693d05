import type { DisplayBundle } from "../../display.js";
import type { Baseline } from "../../signal/baseline.js";
import { traceAnchor } from "../page/anchors.js";
import { html } from "../text/markup.js";
import { fixed, quantity, significant, trimmed } from "../text/numbers.js";
import { counted } from "../text/words.js";
import { readRecord } from "../trace/read-record.js";
import { drawnBundle } from "./drawn-bundle.js";

/** A baseline: on its record, with the weights that drew it below, and its stiffness in words. */
export function baselineView(baseline: Baseline): Promise<DisplayBundle> {
  const { chromatogram, values, weights } = baseline;
  const words = [methodWords(baseline), ...stiffnessWords(baseline)];
  const drawn = readRecord(chromatogram, { baseline: values });
  const level = readRecord(chromatogram).traceLevel;
  return drawnBundle(
    {
      ...drawn,
      ...(level === undefined ? {} : { traceLevel: { span: level.span } }),
      ...(weights.length === 0
        ? {}
        : { strip: { title: "weight: 1 baseline, 0 peak", values: weights, range: [-0.05, 1.1] as const } }),
    },
    {
      text: [`baseline of ${chromatogram.id}`, ...words].join("\n"),
      id: traceAnchor(`${chromatogram.id} baseline`),
      caption: html`<strong>Baseline of ${chromatogram.id}</strong>`,
      description: `Baseline of ${chromatogram.id}. ${words.join(" ")}`,
      body: html`<p>${words.join(" ")}</p>`,
    },
  );
}

function methodWords({ method, from, to, iterations, converged }: Baseline): string {
  const region = `${fixed(from, 2)} to ${quantity(fixed(to, 2), "min")}`;
  const rounds =
    iterations <= 1
      ? ""
      : converged
        ? `, settled after ${counted(iterations, "round")}`
        : `, not settled after ${counted(iterations, "round")}: look at it before use`;
  return `${method}, ${region}${rounds}.`;
}

/** "Stiffness λ = 2.0 × 10⁷ from σ = 6 s at 5 Hz, k = 2: waves longer than 40 σ are followed." */
function stiffnessWords({ stiffness, lambda }: Baseline): readonly string[] {
  if (lambda === undefined) return [];
  const size = significant(lambda, 2);
  if (stiffness === undefined) return [`Stiffness λ = ${size}, given by hand.`];
  const { peakWidth, multiple, interval } = stiffness;
  const sigma = quantity(trimmed(60 * peakWidth, 2), "s");
  const rate = quantity(trimmed(1 / (60 * interval), 3), "Hz");
  return [`Stiffness λ from σ = ${sigma} at ${rate}, k = ${trimmed(multiple, 2)}: (k·σ·f)⁴ = ${size}.`];
}
