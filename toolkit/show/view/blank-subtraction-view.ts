import type { DisplayBundle } from "../../display.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { traceAnchor } from "../page/anchors.js";
import { html } from "../text/markup.js";
import { fixed, quantity, signed, significant } from "../text/numbers.js";
import { sentenceCase } from "../text/words.js";
import { readRecord, scatter, signalAxis } from "../trace/read-record.js";
import { drawnBundle } from "./drawn-bundle.js";

/** A blank aligned to a record and taken off it, or refused. */
export interface ShownBlankSubtraction {
  readonly kind: "blank-subtraction";
  /** The difference; the record itself where the blank was refused. */
  readonly chromatogram: Chromatogram;
  readonly original: Chromatogram;
  /** The aligned blank on the points of the record. */
  readonly course: Float64Array;
  /** min */
  readonly shift: number;
  readonly gain: number;
  readonly offset: number;
  readonly rmsBefore: number;
  readonly rmsAfter: number;
  readonly accepted: boolean;
  readonly reason: string;
  toString(): string;
}

/** Record and aligned blank, the difference below, and in words how the blank was moved and whether it was of use. */
export function blankSubtractionView(result: ShownBlankSubtraction): Promise<DisplayBundle> {
  const { original, course, chromatogram } = result;
  const words = blankWords(result);
  const unit = signalAxis(original.signalUnit);
  const difference = chromatogram.signal;
  const range = differenceRange(difference);
  const cut = difference.some((value) => value > range[1]) ? "; high peaks cut off" : "";
  const strip = {
    title: `${result.accepted ? "difference" : "the record unchanged"}${unit.slice(unit.indexOf(" /"))}${cut}`,
    values: difference,
    range,
    tall: 2,
  };
  return drawnBundle(
    { ...readRecord(original, { baseline: course }), strip },
    {
      text: [`${original.id}, blank subtraction`, ...words].join("\n"),
      id: traceAnchor(`${original.id} minus blank`),
      caption: html`<strong>${original.id} and its blank</strong> <small>dashed: the blank, aligned</small>`,
      description: `${original.id} with its blank. ${words.join(" ")}`,
      body: html`<p><strong>${words[0]}</strong> ${words.slice(1).join(" ")}</p>`,
    },
  );
}

function blankWords(result: ShownBlankSubtraction): readonly string[] {
  const { accepted, reason, shift, gain, offset, rmsBefore, rmsAfter, original } = result;
  const unit = original.signalUnit;
  const moved = `The blank was moved by ${quantity(signed(60 * shift, 1), "s")}, multiplied by ${fixed(gain, 3)} and ${offset < 0 ? "lowered" : "raised"} by ${quantity(significant(Math.abs(offset), 2), unit)}.`;
  const [before, after] = [rmsBefore, rmsAfter].map((rms) => quantity(significant(rms, 2), unit));
  return [
    `${accepted ? "The blank is subtracted" : "The blank is not subtracted"}: ${reason}.`,
    moved,
    sentenceCase(`between the peaks the record strays by ${before} before and ${after} after it (r.m.s.).`),
  ];
}

/** What the difference reaches, its highest peaks cut off where they would hide the rest. */
function differenceRange(values: Float64Array): readonly [number, number] {
  const sorted = values.filter((value) => !Number.isNaN(value)).sort();
  if (sorted.length === 0) return [-1, 1];
  const low = sorted[0];
  const most = sorted[Math.floor(0.95 * (sorted.length - 1))];
  const span = Math.max(most - low, 14 * scatter(values), 1e-12);
  return [low - 0.1 * span, low + 1.5 * span];
}
