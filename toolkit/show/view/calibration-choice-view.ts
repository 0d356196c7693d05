import type { CalibrationChoice, TriedModel } from "../../calibration/choice/choose-calibration.js";
import type { JudgedTest } from "../../calibration/tests-of-fit/judged-test.js";
import type { DisplayBundle } from "../../display.js";
import { curveChart } from "../chart/calibration-chart.js";
import { html } from "../text/markup.js";
import { significant } from "../text/numbers.js";
import { chartAmongWords } from "./chart-bundle.js";
import { curveBody, testTable } from "./curve-view.js";
import { htmlBlock } from "./html-block.js";

/** The calibration that was chosen, and every model that was tried with what speaks against it. */
export function calibrationChoiceView(choice: CalibrationChoice): Promise<DisplayBundle> {
  const { calibration, accepted, tried } = choice;
  const rows = tried.map(
    (each) =>
      html`<tr><td>${each.chosen ? "▶" : ""}</td><th scope="row">${each.model}</th><td>${each.weighting.replace("^2", "²").replace("-", " ")}</td><td class="num">${errorOf(each)}</td><td class="text">${each.against.length === 0 ? "passes all tests" : each.against.join("; ")}</td></tr>\n`,
  );
  return chartAmongWords(
    String(choice),
    curveChart(calibration, 300),
    (chart) => html`${curveBody(calibration, chart)}
<div class="scroll"><table><thead><tr><th></th><th>model tried</th><th>weights</th><th class="num">relative standard error / %</th><th>outcome</th></tr></thead><tbody>${rows}</tbody></table></div>
<p class="note">${accepted ? "▶ the simplest model that passes." : "▶ no model passes: the one with the fewest failures."}</p>`,
  );
}

function errorOf({ calibration }: TriedModel): string {
  return calibration === undefined ? "" : significant(calibration.relativeStandardErrorPercent, 3);
}

/** A single test as a row. */
export function judgedTestView(test: JudgedTest): DisplayBundle {
  return { "text/plain": String(test), "text/html": htmlBlock(testTable([test])) };
}
