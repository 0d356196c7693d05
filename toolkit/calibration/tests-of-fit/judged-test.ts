import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";

/** One test: what was found, against what, how likely that is by chance, and what follows. */
export interface JudgedTest {
  readonly kind: "judged-test";
  readonly test: string;
  readonly statistic: number;
  /** What the statistic is held against; for runs it must not fall below it, for all others not exceed it. */
  readonly critical: number | undefined;
  /** `undefined` where the criterion is a figure of the trade without a probability. */
  readonly p: number | undefined;
  readonly passed: boolean;
  /** What follows, in words. */
  readonly verdict: string;
  readonly source: string;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** The figures of a test; the rest follows. */
export type TestFigures = Omit<JudgedTest, "kind" | "toString" | typeof DISPLAY>;

/** A test that shows itself. */
export function judgedTest(figures: TestFigures): JudgedTest;
/** The same with figures of its own kind. */
export function judgedTest<Own extends object>(figures: TestFigures, own: Own): JudgedTest & Own;
export function judgedTest(figures: TestFigures, own?: object): JudgedTest {
  const result = new JudgedFigures(figures);
  return own === undefined ? result : Object.assign(result, own);
}

class JudgedFigures implements JudgedTest {
  readonly kind = "judged-test";
  readonly test: string;
  readonly statistic: number;
  readonly critical: number | undefined;
  readonly p: number | undefined;
  readonly passed: boolean;
  readonly verdict: string;
  readonly source: string;

  constructor({ test, statistic, critical, p, passed, verdict, source }: TestFigures) {
    this.test = test;
    this.statistic = statistic;
    this.critical = critical;
    this.p = p;
    this.passed = passed;
    this.verdict = verdict;
    this.source = source;
  }

  toString(): string {
    return testText(this);
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}

function testText({ test, statistic, critical, p, verdict, source }: TestFigures): string {
  const against = critical === undefined ? "" : ` against ${short(critical)}`;
  const chance = p === undefined ? "" : `, p ${p < 0.001 ? "< 0.001" : short(p)}`;
  return `${test}: ${short(statistic)}${against}${chance}: ${verdict} (${source})`;
}

function short(value: number): string {
  return Number.isFinite(value) ? String(Number(value.toPrecision(3))) : String(value);
}
