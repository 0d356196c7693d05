import type { DisplayBundle } from "../../display.js";
import type { BlankSubtraction } from "../../signal/subtract-blank.js";
import { traceAnchor } from "../page/anchors.js";
import { html } from "../text/markup.js";
import { fixed, quantity, signed, significant } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { readRecord, scatter, signalAxis } from "../trace/read-record.js";
import { drawnBundle } from "./drawn-bundle.js";

/** Record and aligned blank, the difference below, and in words how the blank was moved and whether it was of use. */
export function blankSubtractionView(result: BlankSubtraction): Promise<DisplayBundle> {
  const { original, course, chromatogram } = result;
  const words = blankWords(result);
  const unit = signalAxis(original.signalUnit);
  const difference = chromatogram.signal;
  const level = readRecord(original).traceLevel;
  const range = differenceRange(difference);
  const cut = difference.some((value) => value > range[1] || value < range[0])
    ? ", cut off at the edges"
    : "";
  const strip = {
    title: `${result.accepted ? "difference" : "the record unchanged"}${unit.slice(unit.indexOf(" /"))}${cut}`,
    values: difference,
    range,
    tall: 2,
  };
  return drawnBundle(
    {
      ...readRecord(original, { baseline: course }),
      ...(level === undefined ? {} : { traceLevel: { span: level.span } }),
      strip,
    },
    {
      text: [`${original.id}, blank subtraction`, ...words].join("\n"),
      id: traceAnchor(`${original.id} minus blank`),
      caption: html`<strong>${original.id} and its blank</strong> <small>dashed: the blank, aligned</small>`,
      description: `${original.id} with its blank. ${words.join(" ")}`,
      body: html`<p><strong>${words[0]}</strong></p><p>${words.slice(1).join(" ")}</p>`,
    },
  );
}

function blankWords(result: BlankSubtraction): readonly string[] {
  const { accepted, reason, shift, gain, offset, original } = result;
  const unit = original.signalUnit;
  const moved = `The blank was moved by ${quantity(signed(60 * shift, 1), "s")}, multiplied by ${fixed(gain, 3)} and ${offset < 0 ? "lowered" : "raised"} by ${quantity(significant(Math.abs(offset), 2), unit)}.`;
  return [
    accepted ? "The blank is subtracted." : "The blank is not subtracted.",
    typesetSentence(reason),
    moved,
  ];
}

/** Shares of the readings between which most of the difference lies. */
const QUIET = [0.02, 0.75] as const;

/** The level of what lies between the peaks; whatever sticks out of it is cut off. */
function differenceRange(values: Float64Array): readonly [number, number] {
  const sorted = values.filter((value) => !Number.isNaN(value)).sort();
  if (sorted.length === 0) return [-1, 1];
  const [low, high] = QUIET.map((share) => sorted[Math.floor(share * (sorted.length - 1))]);
  const span = Math.max(3 * (high - low), 20 * scatter(values), 1e-12);
  return [low - 0.4 * span, low + 1.2 * span];
}
