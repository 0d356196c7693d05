import type { ResultStatus, Results } from "../../batch/types.js";
import { type Content, html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { counted, distinct, listed, sentenceCase } from "../text/words.js";
import { touchedSamples } from "./next-steps.js";
import { resultTables } from "./result-tables.js";

/** The first screen: the question, what the batch says in a few sentences, and the table it rests on. */
export function opening(results: Results): Content {
  const samples = distinct(results.samples.map((row) => row.sample));
  const channels = distinct(results.batches.map((batch) => `${batch.method.channel}s`));
  return html`<p class="kicker">${counted(samples.length, "sample")} · ${listed(channels)} · ${counted(results.traces.size, "injection")}</p>
<h1>${results.title}</h1>
${results.invented && inventedBanner()}
<p class="answer">${resultSummary(results)}</p>
${resultTables(results)}`;
}

function inventedBanner(): Content {
  return html`<p class="invented" role="note"><strong>Invented demonstration data:</strong> nothing here was sampled or measured.</p>\n`;
}

/**
 * What the batch says, in a few plain sentences: the widest range, how many results in which state, whether the charge
 * balances, what failed, what has no name. The page begins with it; an index may quote it.
 */
export function resultSummary(results: Results): string {
  const sentences = [
    rangeSentence(results),
    statusSentence(results),
    balanceSentence(results),
    checkSentence(results),
    unknownSentence(results),
  ];
  return sentences.filter((sentence) => sentence !== "").join(" ");
}

/** The ion that differs most between samples, with its lowest and highest quantified value in one unit. */
function rangeSentence(results: Results): string {
  const quantified = results.samples.flatMap((row) =>
    row.status === "quantified" && row.value && row.value.value > 0 ? [{ ...row, value: row.value }] : [],
  );
  const groups = distinct(quantified.map((row) => `${row.ion}\n${row.unit}`)).map((key) =>
    quantified
      .filter((row) => `${row.ion}\n${row.unit}` === key)
      .sort((a, b) => a.value.value - b.value.value),
  );
  const wide = groups.filter((rows) => rows.length > 1);
  if (wide.length === 0) return "";
  const spread = (rows: (typeof wide)[number]): number =>
    rows[rows.length - 1].value.value / rows[0].value.value;
  const rows = wide.reduce((widest, each) => (spread(each) > spread(widest) ? each : widest));
  const [low, high] = [rows[0], rows[rows.length - 1]];
  return `${sentenceCase(low.ion)} differs most: from ${measuredText(low.value)} in ${low.sample} to ${measuredText(high.value)} in ${high.sample}.`;
}

function statusSentence(results: Results): string {
  const rows = results.samples.filter((row) => row.status !== "not measured");
  const count = (status: ResultStatus): number => rows.filter((row) => row.status === status).length;
  const parts = [`${count("quantified")} are quantified`];
  if (count("below quantification") > 0)
    parts.push(`${count("below quantification")} lie below the quantification limit`);
  if (count("not detected") > 0) parts.push(`${count("not detected")} were not detected`);
  if (count("above range") > 0) parts.push(`${count("above range")} lie above the calibrated range`);
  return `Of ${counted(rows.length, "result")}, ${listed(parts)}.`;
}

function balanceSentence(results: Results): string {
  const { balances } = results;
  if (balances.length === 0) return "";
  const open = balances.filter((balance) => !balance.passed).map((balance) => balance.sample);
  if (open.length === 0) return `Anions and cations balance in ${counted(balances.length, "sample")}.`;
  return `Anions and cations balance in ${balances.length - open.length} of ${balances.length} samples, not in ${listed(open)}.`;
}

function checkSentence({ checks, samples }: Results): string {
  const failed = checks.filter((check) => !check.passed);
  if (checks.length === 0) return "No checks were run.";
  if (failed.length === 0) return `All ${checks.length} checks passed.`;
  const touched = touchedSamples(failed, samples);
  const reach = touched.length === 0 ? "" : `, which touches ${listed(touched)}`;
  return `${failed.length} of ${checks.length} checks failed${reach}.`;
}

function unknownSentence(results: Results): string {
  const { unknowns } = results;
  if (unknowns.length === 0) return "Every peak has a name.";
  return `${counted(unknowns.length, "peak")} ${unknowns.length === 1 ? "keeps" : "keep"} no name.`;
}
