import { convert } from "../../ions/units.js";
import type { BalanceDiagnosis } from "../diagnosis/diagnosis-types.js";

/** One ion's share of a balance, plain numbers. */
export interface BalanceShare {
  readonly ion: string;
  readonly side: "cation" | "anion";
  /** meq/L */
  readonly milliequivalents: number;
}

/** What a diagnosis goes by. */
export interface BalanceEvidence {
  readonly shares: readonly BalanceShare[];
  /** Cations − anions, meq/L. */
  readonly difference: number;
  /** What counts as closed, meq/L. */
  readonly tolerance: number;
  /** undefined where not measured. */
  readonly pH: number | undefined;
  readonly carbonateKnown: boolean;
  /** Charge of unidentified anions, meq/L; undefined where none were counted. */
  readonly unknownAnions: number | undefined;
  /** Computed over measured conductivity; undefined where it was not measured. */
  readonly conductivityRatio: number | undefined;
}

/** One thing that would explain an imbalance: a hint what to check, never a correction. */
export interface Suspect {
  readonly cause: string;
  readonly why: string;
  /** The side whose sum would change. */
  readonly side: "cation" | "anion";
  /** Change of that sum which the cause would bring, meq/L. */
  readonly change: number;
}

/**
 * Computed over measured conductivity outside these says on which side the fault lies. Wider above: of the 16 published
 * waters of P.J. Stuyfzand those that miss by more than 5 % are mostly computed too high, ion pairs counted.
 */
const CONDUCTIVITY_LOW = 0.97;
const CONDUCTIVITY_HIGH = 1.1;
const DILUTION_FACTORS = [2, 5, 10, 20, 50, 100];
/** Ions often reported as their element: mistaking one unit for the other is a factor. */
const ELEMENTS: Readonly<Record<string, string>> = {
  nitrate: "N",
  nitrite: "N",
  ammonium: "N",
  phosphate: "P",
  sulfate: "S",
};
const MOST_SLIPS = 3;
/** An ion below this part of its side cannot upset a balance by a factor that slips happen by. */
const SMALLEST_PART = 0.005;

/**
 * What could have upset a balance, likeliest first by base rate and, where it was measured, by conductivity: too low a
 * computed conductivity speaks for something missing, too high a one for something counted too high.
 *
 * @source signatures and order of base rates: common practice of the trade, no source
 */
export function suspectsOf(evidence: BalanceEvidence): readonly Suspect[] {
  const missing = evidence.difference > 0 ? missingAnions(evidence) : missingCations(evidence);
  const slips = slipsOf(evidence);
  const high = [tooHigh(evidence)];
  if (saysTooHigh(evidence)) return [...slips, ...high, ...missing];
  return [...missing.slice(0, 1), ...slips, ...missing.slice(1), ...high];
}

/** A diagnosis tells so many, each at least so probable; what stands further down is left to the rules of thumb. */
const DIAGNOSED_TOLD = 3;
const DIAGNOSED_LEAST = 0.05;

/**
 * The hypotheses of a diagnosis that would change one side of the balance, before the suspects by rule of thumb: where a
 * conductivity was measured, charge and conductivity together say more.
 */
export function withDiagnosed(diagnosis: BalanceDiagnosis, byRule: readonly Suspect[]): readonly Suspect[] {
  const { reported, hypotheses } = diagnosis;
  const diagnosed = hypotheses.slice(0, DIAGNOSED_TOLD).flatMap((each): Suspect[] => {
    const { side, probability, cause, changeWords, next, difference } = each;
    if (side === undefined || probability < DIAGNOSED_LEAST) return [];
    const change = side === "cation" ? difference - reported.difference : reported.difference - difference;
    const percent = Math.min(99, Math.round(100 * probability));
    return [
      {
        cause,
        why: `${changeWords} would explain charge and conductivity (${percent} %); ${next}`,
        side,
        change,
      },
    ];
  });
  const told = new Set(diagnosed.map(({ cause }) => cause));
  return [...diagnosed, ...byRule.filter(({ cause }) => !told.has(cause))];
}

function saysMissing({ conductivityRatio }: BalanceEvidence): boolean {
  return conductivityRatio !== undefined && conductivityRatio < CONDUCTIVITY_LOW;
}

function saysTooHigh({ conductivityRatio }: BalanceEvidence): boolean {
  return conductivityRatio !== undefined && conductivityRatio > CONDUCTIVITY_HIGH;
}

function missingAnions(evidence: BalanceEvidence): readonly Suspect[] {
  const { difference, pH, carbonateKnown, unknownAnions } = evidence;
  const suspects: Suspect[] = [];
  const add = (cause: string, why: string, change = difference): void => {
    suspects.push({ cause, why, side: "anion", change });
  };
  if (!carbonateKnown && (pH === undefined || pH > 5)) {
    const milligrams = convert(difference, "meq/L", "mg/L", "hydrogencarbonate");
    add(
      "hydrogencarbonate not measured",
      `no alkalinity is given; ${milligrams.toPrecision(3)} mg/L of hydrogencarbonate would close the balance`,
    );
  }
  if (carbonateKnown) {
    add(
      "alkalinity too low",
      `hydrogencarbonate is the anion that most often fails; ${difference.toPrecision(3)} meq/L more of it would close the balance`,
    );
  }
  if (unknownAnions !== undefined && unknownAnions > 0) {
    const part = Math.round((100 * unknownAnions) / difference);
    add("unidentified anions", `the unidentified peaks carry ${part} % of the missing charge`, unknownAnions);
  }
  const others = pH !== undefined && pH > 9 ? "organic acids, silicate, borate" : "organic acids";
  add(
    "an anion is missing",
    `${difference.toPrecision(3)} meq/L of anions are missing: ${others}, an ion lost or not sought${conductivityWords(evidence)}`,
  );
  return suspects;
}

function missingCations(evidence: BalanceEvidence): readonly Suspect[] {
  const change = -evidence.difference;
  const suspects: Suspect[] = [];
  const has = (name: string): boolean => evidence.shares.some(({ ion }) => ion === name);
  if (evidence.pH === undefined && !has("hydrogen") && !evidence.carbonateKnown) {
    const pH = 3 - Math.log10(change);
    suspects.push({
      cause: "hydrogen ion not counted",
      why: `no pH is given; a pH of ${pH.toFixed(1)} would close the balance`,
      side: "cation",
      change,
    });
  }
  const usual = ["sodium", "ammonium", "potassium", "magnesium", "calcium"].filter((name) => !has(name));
  const names =
    usual.length > 0 ? `not among the ions given: ${usual.join(", ")}` : "iron, aluminium, manganese, amines";
  suspects.push({
    cause: "a cation is missing",
    why: `${change.toPrecision(3)} meq/L of cations are missing: ${names}${conductivityWords(evidence)}`,
    side: "cation",
    change,
  });
  return suspects;
}

function tooHigh(evidence: BalanceEvidence): Suspect {
  const side = evidence.difference > 0 ? "cation" : "anion";
  const largest = evidence.shares
    .filter((share) => share.side === side)
    .reduce((a, b) => (b.milliequivalents > a.milliequivalents ? b : a));
  return {
    cause: side === "cation" ? "a cation is too high" : "an anion is too high",
    why: `dilution factor, calibration or contamination; ${largest.ion} is the largest ${side}${conductivityWords(evidence)}`,
    side,
    change: -Math.abs(evidence.difference),
  };
}

function conductivityWords({ conductivityRatio }: BalanceEvidence): string {
  if (conductivityRatio === undefined) return "";
  return `; computed conductivity is ${Math.round(100 * conductivityRatio)} % of the measured one`;
}

/**
 * Single factors that close the balance: dilution slips of a whole channel, then dilution and unit slips of single ions,
 * each best closing first. A conductivity that speaks for something missing rules out a factor that takes away, and the
 * reverse.
 */
function slipsOf(evidence: BalanceEvidence): readonly Suspect[] {
  const channels = (["cation", "anion"] as const).map((side) => {
    const shares = evidence.shares.filter((share) => share.side === side);
    return {
      ion: `all ${side}s`,
      side,
      milliequivalents: shares.reduce((sum, each) => sum + each.milliequivalents, 0),
    };
  });
  const ofChannels = channels.flatMap((share) =>
    closing(evidence, share, DILUTION_FACTORS, `dilution of ${share.ion}`),
  );
  const sumOf = (side: string): number => channels.find((each) => each.side === side)?.milliequivalents ?? 0;
  const sizeable = evidence.shares.filter(
    (share) => share.milliequivalents >= SMALLEST_PART * sumOf(share.side),
  );
  const ofIons = sizeable.flatMap((share) => {
    const element = ELEMENTS[share.ion];
    const slip = element === undefined ? [] : [convert(1, `mg/L as ${element}`, "mg/L", share.ion)];
    return [
      ...closing(evidence, share, DILUTION_FACTORS, `dilution of ${share.ion}`),
      ...closing(evidence, share, slip, `${share.ion} given as ${element} or the reverse`),
    ];
  });
  const best = (found: readonly Closing[]): readonly Closing[] => [...found].sort((a, b) => a.left - b.left);
  return [...best(ofChannels), ...best(ofIons)].slice(0, MOST_SLIPS).map(({ suspect }) => suspect);
}

interface Closing {
  readonly suspect: Suspect;
  /** What would remain of the difference, meq/L. */
  readonly left: number;
}

function closing(
  evidence: BalanceEvidence,
  { side, milliequivalents }: BalanceShare,
  factors: readonly number[],
  cause: string,
): readonly Closing[] {
  return bothWays(factors).flatMap((factor) => {
    const change = milliequivalents * (factor - 1);
    const left = Math.abs(evidence.difference + (side === "cation" ? change : -change));
    const against = (change < 0 && saysMissing(evidence)) || (change > 0 && saysTooHigh(evidence));
    if (left > evidence.tolerance || against) return [];
    const why = `times ${factor.toPrecision(3)}, the balance closes to ${left.toPrecision(2)} meq/L`;
    return [{ suspect: { cause, why, side, change }, left }];
  });
}

function bothWays(factors: readonly number[]): readonly number[] {
  return factors.flatMap((factor) => [factor, 1 / factor]);
}
