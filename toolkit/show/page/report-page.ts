import type { Results } from "../../batch/types.js";
import { type Content, html } from "../text/markup.js";
import { balanceSection } from "./balance-section.js";
import { calibrationSection, limitSection } from "./calibration-section.js";
import { checkSection } from "./check-section.js";
import { chromatogramSection } from "./chromatogram-section.js";
import { failedChecks } from "./failed-checks.js";
import { opening } from "./opening.js";
import { type PageSection, pageShell } from "./page-shell.js";
import { provenanceSection } from "./provenance-section.js";
import { unknownSection } from "./unknown-section.js";
import { waterTypeSection } from "./water-type-section.js";

/**
 * The report of an evaluated investigation as one HTML text: it opens from disk, asks the network for nothing, can
 * be printed, and its chromatograms zoom. The first screen holds what was found; below it what failed and what that
 * touches, the charge balance, the kinds of water, the records, the calibrations and limits, peaks without a name, checks, provenance.
 */
export async function reportPage(results: Results): Promise<string> {
  const sections: (PageSection | undefined)[] = [
    failedChecks(results),
    results.balances.length > 0 ? await balanceSection(results) : undefined,
    await waterTypeSection(results),
    chromatogramSection(results),
    unknownSection(results),
    results.calibrations.length > 0 ? await calibrationSection(results) : undefined,
    results.calibrations.length > 0 ? limitSection(results) : undefined,
    checkSection(results),
    provenanceSection(results),
  ];
  return pageShell({
    title: results.title,
    opening: html`<header id="found" class="wide">${opening(results)}</header>`,
    sections: sections.filter((section) => section !== undefined),
    closing: cautions(),
    zooms: true,
  });
}

/** What the numbers are not, and how not to get hurt on the way to more of them. */
export function cautions(): Content {
  return html`<footer class="caution"><p>These are concentrations with their uncertainties, neither a diagnosis nor a verdict on safety. “Not detected” is not “absent”. Decisions on drinking water and health belong to accredited laboratories, authorities and licensed practitioners.</p>
<p>In the laboratory: acids and hydroxide eluents burn, wear eye protection and gloves and add acid to water; release the pressure before opening a fitting; vent the hydrogen and oxygen of electrolytic suppressors and generators.</p></footer>`;
}
