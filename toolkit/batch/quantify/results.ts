import { DISPLAY, displayOf } from "../../display.js";
import { explain, findResult } from "../finding/explain.js";
import { findBalance } from "../finding/find-balance.js";
import { findCalibration } from "../finding/find-calibration.js";
import { findTrace } from "../finding/find-trace.js";
import { shownBalances, shownCalibrations, shownTraces } from "../finding/parts-shown.js";
import { seriesOf } from "../finding/series-of.js";
import { slopeCheckOf } from "../finding/slope-check-of.js";
import { trendOf } from "../finding/trend-of.js";
import { shownUnknowns } from "../finding/unknown-peaks-shown.js";
import { watersOf } from "../finding/waters-of.js";
import type { Results, UnknownPeak } from "../types.js";
import { peakFrame, resultFrame } from "../writing/frame.js";

type Methods =
  | "trace"
  | "calibration"
  | "result"
  | "why"
  | "balance"
  | "waters"
  | "series"
  | "trend"
  | "slopeCheck"
  | "frame"
  | "peakFrame"
  | "toString"
  | typeof DISPLAY;

/** What `quantify` found, before it can answer questions. */
export type PlainResults = Omit<Results, Methods | "unknowns"> & {
  readonly unknowns: readonly UnknownPeak[];
};

/** Gives plain results the ways to be asked, and those a notebook and a terminal show them. */
export function makeResults(plain: PlainResults): Results {
  return {
    ...plain,
    traces: shownTraces(plain.traces),
    calibrations: shownCalibrations(plain.calibrations),
    balances: shownBalances(plain.balances),
    unknowns: shownUnknowns(plain.unknowns),
    ...QUESTIONS,
  };
}

const QUESTIONS: Pick<Results, Methods> & ThisType<Results> = {
  trace(injection) {
    return findTrace(this, injection);
  },
  calibration(ion) {
    return findCalibration(this, ion);
  },
  result(sample, ion) {
    return findResult(this, sample, ion);
  },
  why(sample, ion) {
    return explain(this, sample, ion);
  },
  balance(sample) {
    return findBalance(this, sample);
  },
  waters() {
    return watersOf(this);
  },
  series(place, ion) {
    return seriesOf(this, place, ion);
  },
  trend(figure, ion) {
    return trendOf(this, figure, ion);
  },
  slopeCheck(channel, options) {
    return slopeCheckOf(this, channel, options);
  },
  frame() {
    return resultFrame(this);
  },
  peakFrame() {
    return peakFrame(this);
  },
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
