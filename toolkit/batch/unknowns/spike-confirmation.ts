import { DISPLAY, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { ion as ionOf } from "../../ions/ion-table.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import {
  exactly,
  isMeasuredValue,
  type MeasuredValue,
  measured,
  minus,
  over,
} from "../../uncertainty/measured.js";
import type { SpikeConfirmation } from "../unknown-types.js";

/** The peak of one injection. */
export interface PeakBeforeOrAfter {
  /** Apex, min. */
  readonly retentionTime: number | MeasuredValue;
  /** Width at half height, min. */
  readonly widthHalf: number | MeasuredValue;
}

export interface SpikeRequest {
  /** The ion that was added. */
  readonly ion: string;
  readonly unspiked: PeakBeforeOrAfter;
  readonly spiked: PeakBeforeOrAfter;
  /** Area gained over the area the amount added should bring, %. */
  readonly recovery: number | MeasuredValue;
  /** Whether the fit of the spiked peak asks for one component more. */
  readonly newShoulder: boolean;
}

/** Differences count from three of their standard uncertainties on; plain numbers are taken to be good to this part. */
const SIGMAS = 3;
const PLAIN = { retentionTime: 0.001, widthHalf: 0.02 };
const RECOVERY = [90, 110] as const;

/**
 * Whether an ion added to a sample stands under an unidentified peak: four tests, all to be passed.
 *
 *     |Δt| < 3·u(Δt),   |W₂/W₁ − 1| < 3·u,   no new shoulder,   90 % ≤ recovery ≤ 110 %
 *
 * t apex and W width at half height (min) without and with 1 to 2 times the amount supposed, in at most 5 % of the volume.
 * Plain numbers are taken to be good to 0.1 % (t) and 2 % (W). Two equal peaks d apart widen σ² by d²/4: the width alone
 * rules out a neighbour at a resolution above 0.4.
 *
 * @throws IonbookError "unknown-option", "bad-option", "unknown-ion"
 * @source common practice, no source
 */
export function spikeConfirmation(request: SpikeRequest): SpikeConfirmation {
  requireKnownOptions<SpikeRequest>(
    request,
    { ion: true, unspiked: true, spiked: true, recovery: true, newShoulder: true },
    "spikeConfirmation",
  );
  const { newShoulder } = request;
  if (typeof newShoulder !== "boolean") refuse(`newShoulder is ${String(newShoulder)}: say true or false`);
  const ion = ionOf(request.ion).name;
  const before = peakOf(request.unspiked, "unspiked");
  const after = peakOf(request.spiked, "spiked");
  const recovery = positive(request.recovery, "recovery", "%", 0);
  const shift = minus(after.retentionTime, before.retentionTime);
  const widening = over(after.widthHalf, before.widthHalf);
  const away = (value: MeasuredValue, from: number) => Math.abs(value.value - from) < SIGMAS * value.u;
  const tests: SpikeConfirmation["tests"] = [
    {
      test: "retention",
      found: `moved by ${shift.value.toFixed(4)} min`,
      limit: `${(SIGMAS * shift.u).toFixed(4)} min`,
      passed: away(shift, 0),
    },
    {
      test: "width",
      found: `${(100 * (widening.value - 1)).toFixed(1)} % wider`,
      limit: `${(100 * SIGMAS * widening.u).toFixed(1)} %`,
      passed: away(widening, 1),
    },
    { test: "shoulder", found: newShoulder ? "one" : "none", limit: "none", passed: !newShoulder },
    {
      test: "recovery",
      found: `${recovery.value.toFixed(1)} %`,
      limit: `${RECOVERY[0]} to ${RECOVERY[1]} %`,
      passed: recovery.value >= RECOVERY[0] && recovery.value <= RECOVERY[1],
    },
  ];
  const passed = tests.every((each) => each.passed);
  const result: SpikeConfirmation = {
    kind: "spike-confirmation",
    ion,
    tests,
    passed,
    toString: () =>
      `spike of ${ion} ${passed ? "passed" : "failed"}: ${tests.map(({ test, found, limit, passed: ok }) => `${ok ? "" : "not "}${test} (${found}, limit ${limit})`).join(", ")}`,
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function peakOf(given: PeakBeforeOrAfter, which: string) {
  requireKnownOptions<PeakBeforeOrAfter>(given, { retentionTime: true, widthHalf: true }, which);
  return {
    retentionTime: positive(given.retentionTime, `${which}.retentionTime`, "min", PLAIN.retentionTime),
    widthHalf: positive(given.widthHalf, `${which}.widthHalf`, "min", PLAIN.widthHalf),
  };
}

function positive(given: unknown, what: string, unit: string, part: number): MeasuredValue {
  if (isMeasuredValue(given) && given.value > 0) return given;
  if (typeof given === "number" && given > 0 && Number.isFinite(given)) {
    return part === 0 ? exactly(given, unit) : measured(given, unit, { u: part * given });
  }
  return refuse(`${what} is ${String(given)}: give a number above 0, or a measured value`);
}

function refuse(why: string): never {
  throw new IonbookError("bad-option", `spikeConfirmation: ${why}`);
}
