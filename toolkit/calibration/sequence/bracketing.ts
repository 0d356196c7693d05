import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import {
  combineLinear,
  type MeasuredValue,
  measured,
  over,
  plus,
  times,
} from "../../uncertainty/measured.js";
import { type CheckReading, requireCheck } from "./response-drift.js";

/** A check standard of a bracket. */
export interface BracketCheck extends CheckReading {
  /** Standard uncertainty of the response. @default `relativeRepeatability` of it */
  readonly u?: number;
}

/** A sample between two checks. */
export interface BracketSample {
  readonly position: number;
  readonly response: number;
  /** Standard uncertainty of the response. @default `relativeRepeatability` of it */
  readonly u?: number;
  readonly label?: string;
}

export interface BracketingOptions {
  /** Relative standard deviation of one reading, for readings without a u of their own. */
  readonly relativeRepeatability?: number;
  /** Relative standard uncertainty of the check standards' concentration, one source for all. @default 0 */
  readonly standardUncertainty?: number;
  /** Its name, to stay correlated with other results of the stock. @default "check standard" */
  readonly standardSource?: string;
  /** Two checks of a bracket may differ by this, %. @default 10 */
  readonly limitPercent?: number;
  readonly ion?: string;
  /** @default "mg/L" */
  readonly unit?: string;
}

/** One sample, with the checks before and after it. */
export interface BracketedSample {
  readonly label: string;
  readonly position: number;
  readonly concentration: MeasuredValue;
  /** What it would be by the check before alone. */
  readonly uncorrected: number;
  readonly before: string;
  readonly after: string;
  /** Response factor of the check after against the one before, %. */
  readonly changePercent: number;
  readonly passed: boolean;
}

export interface Bracketing {
  readonly kind: "bracketing";
  readonly ion: string | undefined;
  readonly unit: string;
  readonly samples: readonly BracketedSample[];
  readonly checks: readonly (BracketCheck & { readonly factor: number })[];
  readonly limitPercent: number;
  readonly source: string;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const KNOWN = {
  relativeRepeatability: true,
  standardUncertainty: true,
  standardSource: true,
  limitPercent: true,
  ion: true,
  unit: true,
} as const;
const LIMIT = 10;
const SOURCE =
  "linear interpolation between check standards: common practice; 10 % between checks: US EPA 300.0 (from memory)";

/**
 * Concentrations of samples that stand between check standards, the response factor interpolated over the run:
 *
 *     f(t) = f₁ + (f₂ − f₁)(t − t₁)/(t₂ − t₁),   fᵢ = yᵢ/xᵢ,   c = y/f(t)
 *
 * For a response in proportion to the content. The sources of every result are its own reading, the two checks' readings
 * (shared by the samples of a bracket and, through the check between them, by neighbouring brackets), and the check
 * standard. That the drift is straight between two checks is taken for granted.
 *
 * @throws IonbookError "too-few-checks" below two, "not-bracketed" for a sample before the first or after the last check,
 *   "no-uncertainty" where a reading has neither u nor repeatability, "bad-uncertainty", "not-a-number",
 *   "bad-concentration", "same-position", "bad-samples", "unknown-option", "bad-option"
 * @source interpolation: common practice; propagation: JCGM 100:2008, 5.2; 10 %: US EPA 300.0 (from memory)
 */
export function bracketSamples(
  run: { readonly checks: readonly BracketCheck[]; readonly samples: readonly BracketSample[] },
  options: BracketingOptions = {},
): Bracketing {
  requireKnownOptions(options, KNOWN, "bracketSamples");
  const { ion, unit = "mg/L", limitPercent = LIMIT } = options;
  requirePart(options.limitPercent ?? LIMIT, "limitPercent");
  requirePart(options.standardUncertainty ?? 0, "standardUncertainty");
  const checks = requireChecks(run);
  const standard = measured(
    1,
    "1",
    { u: options.standardUncertainty ?? 0 },
    { source: options.standardSource ?? "check standard" },
  );
  const factors = checks.map((check) => {
    const reading = readingOf(check, `reading of ${nameOf(check, "check")}`, options);
    return over(reading, times(standard, check.concentration));
  });
  const samples = run.samples.map((sample, i) => {
    requireSample(sample, i);
    const at = bracketOf(sample, checks);
    const [first, second] = [checks[at], checks[at + 1]];
    const w = (sample.position - first.position) / (second.position - first.position);
    const factor = plus(times(factors[at], 1 - w), times(factors[at + 1], w));
    const label = nameOf(sample, "sample");
    const value = over(readingOf(sample, `reading of ${label}`, options), factor);
    const changePercent = 100 * (factors[at + 1].value / factors[at].value - 1);
    return {
      label,
      position: sample.position,
      concentration: combineLinear([{ value, factor: 1 }], unit),
      uncorrected: sample.response / factors[at].value,
      before: nameOf(first, "check"),
      after: nameOf(second, "check"),
      changePercent,
      passed: Math.abs(changePercent) <= limitPercent,
    };
  });
  const bracketing: Bracketing = {
    kind: "bracketing",
    ion,
    unit,
    samples,
    checks: checks.map((check, i) => ({ ...check, factor: factors[i].value })),
    limitPercent,
    source: SOURCE,
    toString: () => bracketingText(bracketing),
    [DISPLAY]: () => displayOf(bracketing),
  };
  return bracketing;
}

function bracketingText({ ion, samples, limitPercent }: Bracketing): string {
  const lines = samples.map(
    ({ label, concentration, before, after, changePercent, passed }) =>
      `  ${label}: ${concentration}, between ${before} and ${after}, which differ by ${changePercent.toFixed(1)} %${passed ? "" : `: beyond ${limitPercent} %, inject again`}`,
  );
  return [`bracketed samples${ion === undefined ? "" : `, ${ion}`}`, ...lines].join("\n");
}

function nameOf(
  { label, position }: { readonly label?: string; readonly position: number },
  kind: string,
): string {
  return label ?? `${kind} at ${position}`;
}

function readingOf(
  { response, u }: BracketSample,
  source: string,
  { relativeRepeatability }: BracketingOptions,
): MeasuredValue {
  const spread =
    u ?? (relativeRepeatability === undefined ? undefined : relativeRepeatability * Math.abs(response));
  if (spread === undefined) {
    throw new IonbookError(
      "no-uncertainty",
      `The ${source} has no uncertainty: give it a u, or { relativeRepeatability: 0.01 } for all`,
    );
  }
  return measured(response, "1", { u: spread }, { source });
}

function requireChecks(run: { readonly checks: readonly BracketCheck[]; readonly samples: unknown }) {
  const { checks, samples } = run ?? {};
  if (!Array.isArray(checks) || checks.length < 2) {
    throw new IonbookError(
      "too-few-checks",
      "Bracketing needs a check before and one after: bracketSamples({ checks: [{ position, response, concentration }, …], samples: [{ position, response }, …] })",
    );
  }
  if (!Array.isArray(samples)) {
    throw new IonbookError("bad-samples", "Bracketing needs samples: [{ position: 6, response: 0.42 }, …]");
  }
  checks.forEach((check, i) => {
    requireCheck(check, i);
  });
  const ordered = [...(checks as readonly BracketCheck[])].sort((a, b) => a.position - b.position);
  const twice = ordered.find((check, i) => i > 0 && check.position === ordered[i - 1].position);
  if (twice === undefined) return ordered;
  throw new IonbookError(
    "same-position",
    `Two checks stand at position ${twice.position}: give each its own`,
  );
}

function requireSample(sample: BracketSample, i: number): void {
  const { position, response } = sample ?? {};
  if (Number.isFinite(position) && Number.isFinite(response)) return;
  throw new IonbookError(
    "not-a-number",
    `Sample ${i + 1} has position ${position} and response ${response}: both must be numbers`,
  );
}

function bracketOf(sample: BracketSample, checks: readonly BracketCheck[]): number {
  const last = checks.length - 1;
  if (sample.position >= checks[0].position && sample.position <= checks[last].position) {
    const after = checks.findIndex(({ position }) => position >= sample.position);
    return Math.max(0, after - 1);
  }
  throw new IonbookError(
    "not-bracketed",
    `${nameOf(sample, "The sample")} stands at ${sample.position}, outside the checks from ${checks[0].position} to ${checks[last].position}: inject a check standard after it`,
  );
}

function requirePart(value: number, name: string): void {
  if (value >= 0 && Number.isFinite(value)) return;
  throw new IonbookError("bad-option", `${name} is ${value}; give a number from 0 up`);
}
