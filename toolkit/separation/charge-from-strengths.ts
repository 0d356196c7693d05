import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { exactly, isMeasuredValue, type MeasuredValue, propagate } from "../uncertainty/measured.js";

/** A retention time at a constant eluent strength. */
export interface AtStrength {
  /** Eluent, mmol/L. */
  readonly concentration: number | MeasuredValue;
  /** Apex, min. */
  readonly retentionTime: number | MeasuredValue;
}

export interface TwoStrengths {
  readonly weaker: AtStrength;
  readonly stronger: AtStrength;
  /** min */
  readonly holdUpTime: number | MeasuredValue;
  /** Charge of the eluent's own ion: 1 of hydroxide and H⁺, 2 of carbonate. @default 1 */
  readonly eluentCharge?: number;
  /** What the result is called, e.g. "unknown-1". */
  readonly name?: string;
}

export interface ChargeFromStrengths {
  readonly kind: "charge-from-strengths";
  /** Charge number (magnitude) as measured, with its uncertainty. */
  readonly measured: MeasuredValue;
  /** The whole charge, where the two strengths decide it; else undefined. */
  readonly charge: number | undefined;
  readonly verdict: string;
  readonly name: string | undefined;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** So near to a whole number the slope must be to count as a charge: common practice, no source. */
const NEAR = 0.15;
/** The 95 % interval must leave the neighbouring charges out by this. */
const APART = 0.5;
const MOST = 6;

/**
 * The charge of an ion from its retention at two constant eluent strengths:
 *
 *     b = −Δln k/Δln c,   k = (t − t₀)/t₀,   |z| = b·|z_eluent|
 *
 * t retention time, t₀ hold-up time (min), c eluent concentration (mmol/L). A charge is decided where the measured one lies
 * within 0.15 of a whole number and its 95 % interval reaches less than 0.5 to each side. It is evidence of a charge, not
 * of a name. Valid for isocratic runs of one column at one temperature, and for ions whose charge does not change with the
 * eluent's pH.
 *
 * @throws IonbookError "unknown-option", "bad-option" for what is no positive number, for times not behind the hold-up time
 *   and for strengths that differ by less than a tenth
 * @source ion-exchange equilibrium (derived); limit 0.15: common practice, no source
 */
export function chargeFromStrengths(request: TwoStrengths): ChargeFromStrengths {
  const inputs = checked(request);
  const { eluentCharge = 1, name } = request;
  const found = propagate(
    ({ c1, t1, c2, t2, t0 }) => (-eluentCharge * Math.log((t2 - t0) / (t1 - t0))) / Math.log(c2 / c1),
    inputs,
    "1",
  );
  const nearest = Math.max(1, Math.round(found.value));
  const { low, high } = found.interval();
  const near = Math.abs(found.value - nearest) < NEAR;
  const sure = nearest - low < APART && high - nearest < APART;
  const charge = near && sure && nearest <= MOST ? nearest : undefined;
  const verdict =
    charge !== undefined
      ? `an ion of charge ${charge}`
      : near
        ? "the uncertainty leaves more than one charge: measure at strengths further apart"
        : "near no whole charge: a weak acid or base, a gradient, or two different ions";
  const result: ChargeFromStrengths = {
    kind: "charge-from-strengths",
    measured: found,
    charge,
    verdict,
    name,
    toString: () => `${name ?? "charge"}: ${String(found)}, ${verdict}`,
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function checked(request: TwoStrengths) {
  requireKnownOptions<TwoStrengths>(
    request,
    { weaker: true, stronger: true, holdUpTime: true, eluentCharge: true, name: true },
    "chargeFromStrengths",
  );
  const { weaker, stronger, holdUpTime, eluentCharge = 1 } = request;
  for (const [each, call] of [
    [weaker, "weaker"],
    [stronger, "stronger"],
  ] as const) {
    requireKnownOptions<AtStrength>(each, { concentration: true, retentionTime: true }, call);
  }
  const inputs = {
    c1: positive(weaker.concentration, "weaker.concentration", "mmol/L"),
    t1: positive(weaker.retentionTime, "weaker.retentionTime", "min"),
    c2: positive(stronger.concentration, "stronger.concentration", "mmol/L"),
    t2: positive(stronger.retentionTime, "stronger.retentionTime", "min"),
    t0: positive(holdUpTime, "holdUpTime", "min"),
  };
  positive(eluentCharge, "eluentCharge", "1");
  if (!(inputs.c2.value >= 1.1 * inputs.c1.value)) {
    refuse(
      `the stronger eluent (${inputs.c2.value} mmol/L) must be at least a tenth above the weaker (${inputs.c1.value})`,
    );
  }
  if (!(inputs.t1.value > inputs.t0.value && inputs.t2.value > inputs.t0.value)) {
    refuse(
      `both retention times must lie behind the hold-up time ${inputs.t0.value} min: an unretained peak has no charge to show`,
    );
  }
  return inputs;
}

function positive(given: unknown, what: string, unit: string): MeasuredValue {
  const value = typeof given === "number" && Number.isFinite(given) ? exactly(given, unit) : given;
  if (isMeasuredValue(value) && value.value > 0) return value;
  return refuse(`${what} is ${String(given)}: give a number above 0, or a measured value`);
}

function refuse(why: string): never {
  throw new IonbookError("bad-option", `chargeFromStrengths: ${why}`);
}
