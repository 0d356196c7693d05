import type { DisplayBundle } from "../../display.js";
import type { MajorProfile } from "../../peaks/riders/major-profile.js";
import { profileChart } from "../chart/profile-chart.js";
import { html } from "../text/markup.js";
import { fixed, quantity, significant } from "../text/numbers.js";
import { typeset } from "../text/typeset.js";
import { sentenceCase } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

/** The profile of a major down to where its tail is lost in the noise, and how far it reaches. */
export function majorProfileView(profile: MajorProfile): Promise<DisplayBundle> {
  const { chromatogram, height, white, sigma, retentionTime } = profile;
  const shares = [0.1, 0.01, 0.001, 0.0001].filter((share) => share * height > 3 * white);
  const behind = shares.map((share) => reachBehind(profile, share));
  const drawn = columnTable([
    {
      title: "tail down to",
      unit: "%",
      cells: { numbers: shares.map((share) => significant(100 * share, 1)) },
    },
    { title: "behind the apex", unit: "min", cells: { numbers: behind.map((time) => fixed(time, 2)) } },
    { title: "in σ", cells: { numbers: behind.map((time) => fixed(time / sigma, 1)) } },
  ]);
  return chartAmongWords(
    String(profile),
    profileChart(profile),
    (chart) => html`<p><strong>${sentenceCase(typeset(String(profile)))}</strong></p>
<div class="scroll">${chart}</div>
<p>The top at ${quantity(fixed(retentionTime, 3), "min")} stands ${fixed(height / white, 0)} times above the white noise of ${quantity(significant(white, 2), chromatogram.signalUnit)}; σ = ${quantity(fixed(60 * sigma, 1), "s")} from the width at half height.</p>
${drawn}
<p class="note">Dotted: shares of the height, and the white noise of the record (standard deviation). Smoothed little on the peak, more in its tail. The tail is the background under what rides on it: it must not end above the noise within the stretch where riders are sought.</p>`,
  );
}

/** How long behind the apex the profile stays above a share of its height, min; NaN where it does to its end. */
function reachBehind(
  { values, start, interval, retentionTime, height }: MajorProfile,
  share: number,
): number {
  const apex = Math.max(0, Math.round((retentionTime - start) / interval));
  for (let i = apex; i < values.length; i += 1)
    if (values[i] < share * height) return start + i * interval - retentionTime;
  return Number.NaN;
}
