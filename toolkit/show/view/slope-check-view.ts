import type { JudgedSlope, SlopeCheck } from "../../calibration/theory/slope-check.js";
import type { DisplayBundle } from "../../display.js";
import { intervalRowsChart } from "../chart/interval-rows.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { html } from "../text/markup.js";
import { fixed, quantity, signed, significant } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { counted, listed } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

/** Standard uncertainties on either side of a slope that count as chance; as the check judges. */
const LIMIT = 3;

/** Measured slopes over what their ions' conductivities ask for, and which slip fits where one is off. */
export function slopeCheckView(check: SlopeCheck): Promise<DisplayBundle> {
  const { ions, gamma, instrument } = check;
  const rows = ions.map((slope) => ({
    name: slope.ion,
    value: slope.ratio,
    low: slope.ratio - LIMIT * slope.u,
    high: slope.ratio + LIMIT * slope.u,
    color: COLORS[ionColor(slope.ion)].fill,
    open: !slope.passed,
    marks: slope.slips.slice(0, 1).map(({ ratio, meaning }) => ({ at: ratio, name: meaning })),
  }));
  const chart = intervalRowsChart(rows, {
    title: "slope / slope by theory",
    lines: [{ at: 1, name: "as theory says" }],
  });
  const slips = ions.some((slope) => slope.slips.length > 0);
  return chartAmongWords(
    String(check),
    chart,
    (
      drawn,
    ) => html`<p><strong>${verdict(check)}</strong>${instrument === undefined ? "" : ` ${typesetSentence(instrument)}`}</p>
<div class="scroll">${drawn}</div>
<p class="note">Bars: ± 3 standard uncertainties; rings: beyond them${slips ? "; tick: where the nearest slip would lie" : ""}. Common factor γ of the instrument ${significant(gamma, 4)}.</p>
${slopeTable(ions)}`,
  );
}

function verdict({ ions, passed }: SlopeCheck): string {
  if (passed) return `All ${fixed(ions.length, 0)} slopes agree with theory within 3 u.`;
  const failed = ions.filter((slope) => !slope.passed).map((slope) => slope.ion);
  return `${counted(failed.length, "slope")} of ${fixed(ions.length, 0)} ${failed.length === 1 ? "disagrees" : "disagree"} with theory: ${listed(failed)}.`;
}

function slopeTable(ions: readonly JudgedSlope[]) {
  return columnTable([
    { title: "ion", cells: { words: ions.map((slope) => slope.ion) } },
    {
      title: "against theory",
      unit: "%",
      cells: { numbers: ions.map(({ ratio }) => signed(100 * (ratio - 1), 1)) },
    },
    { title: "u", unit: "%", cells: { numbers: ions.map(({ u }) => fixed(100 * u, 1)) } },
    { title: "z", cells: { numbers: ions.map(({ z }) => signed(z, 1)) } },
    { title: "what it says", cells: { prose: ions.map(meaningOf) } },
  ]);
}

function meaningOf({ passed, strong, slips, likely }: JudgedSlope): string {
  if (passed) return strong ? "agrees" : "agrees; a weak ion shows large slips only";
  const others = slips.slice(1, 3).map(({ meaning, ratio }) => `${meaning} (${factorText(ratio)})`);
  const first = slips.length > 0 ? `${likely} (${factorText(slips[0].ratio)})` : (likely ?? "");
  return typesetSentence(others.length === 0 ? first : `${first}; also possible: ${others.join("; ")}`);
}

function factorText(ratio: number): string {
  return `would give ${quantity(signed(100 * (ratio - 1), 1), "%")}`;
}
