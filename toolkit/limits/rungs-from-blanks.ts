import { studentQuantile } from "../numeric/distributions.js";
import { currieLimits } from "./currie-limits.js";
import type { LadderContext } from "./ladder-data.js";
import type { BlankSpread, LimitRole, LimitRung } from "./ladder-types.js";
import { type Definition, type Found, rungOf, spreadLimit, tooFew } from "./rung-draft.js";

/** Blanks that the everyday rule and the Eurachem guide ask for. */
const TEN = 10;
/** Blanks and low samples that the clinical guideline recommends (from memory). */
const SIXTY = 60;

const IUPAC = "Currie, IUPAC Recommendations 1995";
const TEN_BLANKS = "at least ten blanks of the whole procedure with measurable signal";
const BLANKS = "blanks of the whole procedure, at least four";

/** Every definition that rests on the spread of blanks alone. */
export function rungsFromBlanks(context: LadderContext): readonly LimitRung[] {
  const { spread, unit } = context;
  const made = (definition: Definition, found: (spread: BlankSpread) => Found): LimitRung =>
    rungOf(definition, unit, spread ? withDoubts(context, found(spread)) : context.noSpread);
  return [
    made(blank("blank-3s", "blank + 3 s, + 10 s", "x̄₀ + 3s₀ (x̄₀ + 10s₀)", TEN_BLANKS, EVERYDAY), (s) => ({
      ...multiples(context, s, 3, 10, s.standardDeviation, s.mean),
      doubts: few(s, TEN),
    })),
    made(blank("blank-3s-net", "3 s without the blanks' mean", "3s₀ (10s₀)", TEN_BLANKS, EVERYDAY), (s) => ({
      ...multiples(context, s, 3, 10, s.standardDeviation),
      doubts: few(s, TEN),
    })),
    ...currieRungs(context, made),
    made(
      blank(
        "eurachem",
        "Eurachem fitness for purpose",
        "3s₀′, 10s₀′; s₀′ = s₀·√(1/m + 1/n₀)",
        TEN_BLANKS,
        EURACHEM,
      ),
      (s) => ({
        ...multiples(context, s, 3, 10, eurachemSpread(context, s)),
        doubts: few(s, TEN),
      }),
    ),
  ];
}

const EVERYDAY = "everyday rule (common practice, no source)";
const EURACHEM = "Eurachem, The Fitness for Purpose of Analytical Methods (from memory)";

function blank(
  id: Definition["id"],
  name: string,
  formula: string,
  needs: string,
  standard: string,
): Definition {
  return { id, name, formula, needs, standard, from: "blanks" };
}

/** s₀/√m for results as read, with the blanks' own share where they are subtracted. */
function eurachemSpread({ blankCorrected, replicates }: LadderContext, spread: BlankSpread): number {
  return blankCorrected ? spread.ofDifference : spread.standardDeviation / Math.sqrt(replicates);
}

function few({ blanks }: BlankSpread, asked: number): readonly string[] {
  return [tooFew(blanks, asked, "blanks")].flatMap((text) => text ?? []);
}

function withDoubts({ blankDoubts }: LadderContext, found: Found): Found {
  return { ...found, doubts: [...(found.doubts ?? []), ...blankDoubts] };
}

function multiples(
  { unit }: LadderContext,
  { dof }: BlankSpread,
  detect: number,
  quantify: number,
  s: number,
  offset = 0,
): Found {
  return {
    limits: [
      spreadLimit("detection limit", unit, detect * s, dof, offset),
      spreadLimit("quantification limit", unit, quantify * s, dof, offset),
    ],
    dof,
  };
}

type Made = (definition: Definition, found: (spread: BlankSpread) => Found) => LimitRung;

/** Currie's limits with the blanks' mean subtracted, and with a blank of its own subtracted from each sample. */
function currieRungs(context: LadderContext, made: Made): readonly LimitRung[] {
  const { unit, replicates, blankCorrected } = context;
  const mean: CurriePair = {
    ids: ["currie", "currie-exact"],
    name: "mean of the blanks known",
    factor: "s₀·√(1/m + 1/n₀)",
    spreadOf: (spread) => spread.ofDifference,
    offsetOf: (spread) => (blankCorrected ? 0 : Math.max(0, spread.mean)),
  };
  const paired: CurriePair = {
    ids: ["currie-paired", "currie-paired-exact"],
    name: "a blank with each sample",
    factor: "s₀·√(1/m + 1)",
    spreadOf: (spread) => spread.standardDeviation * Math.sqrt(1 / replicates + 1),
    offsetOf: () => 0,
  };
  const tenfold = blank("currie-quantification", "Currie, relative s.d. 10 %", "10·s₀", BLANKS, IUPAC);
  return [
    ...curriePair(context, made, mean),
    ...curriePair(context, made, paired),
    made(tenfold, ({ standardDeviation, dof }) => ({
      limits: [spreadLimit("quantification limit", unit, 10 * standardDeviation, dof)],
      dof,
    })),
  ];
}

/** One way to subtract blanks: its limits by 2t, and its exact detection limit. */
interface CurriePair {
  readonly ids: readonly [byTwoT: Definition["id"], exact: Definition["id"]];
  readonly name: string;
  readonly factor: string;
  readonly spreadOf: (spread: BlankSpread) => number;
  readonly offsetOf: (spread: BlankSpread) => number;
}

function curriePair(
  { unit, alpha, beta }: LadderContext,
  made: Made,
  pair: CurriePair,
): readonly LimitRung[] {
  const { ids, name, factor, spreadOf, offsetOf } = pair;
  const limits = (spread: BlankSpread) =>
    currieLimits({ blankStandardDeviation: spreadOf(spread), dof: spread.dof, alpha, beta });
  const limit = (spread: BlankSpread, role: LimitRole, value: number) =>
    spreadLimit(role, unit, value, spread.dof, offsetOf(spread));
  const twoT = `t(1 − α, ν)·${factor}; x_D = [t(1 − α, ν) + t(1 − β, ν)]·${factor}`;
  return [
    made(blank(ids[0], `Currie, ${name}, by 2t`, twoT, BLANKS, IUPAC), (spread) => ({
      limits: [
        limit(spread, "critical value", limits(spread).criticalLevel),
        limit(spread, "detection limit", limits(spread).detectionLimitByTwoT),
      ],
      dof: spread.dof,
      remark: "missed with β on average where s₀ is estimated",
    })),
    made(blank(ids[1], `Currie, ${name}, exact`, `δ(α, β, ν)·${factor}`, BLANKS, IUPAC), (spread) => ({
      limits: [limit(spread, "detection limit", limits(spread).detectionLimit)],
      dof: spread.dof,
      remark: "missed with β by a content of δ·σ; at the estimated δ·s₀ a little more often",
    })),
  ];
}

/** The clinical pair and the functional sensitivity rest on blanks and low spikes together. */
export function rungsFromBlanksAndSpikes(context: LadderContext): readonly LimitRung[] {
  const { spread, spikes, unit, noSpread } = context;
  const why = spread ? "there are no low spikes beside the blanks" : noSpread;
  const usable = spread && spikes && spikes.values.length > 1 ? { spread, spikes } : undefined;
  return [
    rungOf(CLINICAL, unit, usable ? withDoubts(context, clinical(usable, unit)) : why),
    rungOf(FUNCTIONAL, unit, usable ? functional(context, usable) : why),
  ];
}

const CLINICAL: Definition = {
  id: "clinical",
  name: "limit of blank and of detection, clinical",
  standard: "CLSI EP17 (from memory)",
  formula: "LoB = x̄₀ + 1.645s₀; LoD = LoB + c_β·s_low, c_β = 1.645/(1 − 1/(4ν))",
  from: "blanks and spikes",
  needs: "60 blanks and 60 low samples recommended",
};
const FUNCTIONAL: Definition = {
  id: "functional-sensitivity",
  name: "functional sensitivity, relative s.d. 20 % and 10 %",
  standard: "two-level variance function (common practice, no source)",
  formula: "c = s₀/√(RSD² − θ²), s² = s₀² + (θc)²",
  from: "blanks and spikes",
  needs: "blanks and spikes of one level that scatters more than the blanks",
};

type Usable = { readonly spread: BlankSpread; readonly spikes: NonNullable<LadderContext["spikes"]> };

function clinical({ spread, spikes }: Usable, unit: string): Found {
  const z = studentQuantile(0.95, Infinity);
  const dof = spikes.values.length - 1;
  const ofBlank = spread.mean + z * spread.standardDeviation;
  const above = (z / (1 - 1 / (4 * dof))) * spikes.standardDeviation;
  const fewest = Math.min(spread.blanks, spikes.values.length);
  const doubt = tooFew(fewest, SIXTY, "blanks and low samples each");
  return {
    limits: [
      spreadLimit("critical value", unit, z * spread.standardDeviation, spread.dof, spread.mean),
      spreadLimit("detection limit", unit, above, dof, ofBlank),
    ],
    doubts: doubt === undefined ? [] : [doubt],
    dof,
  };
}

function functional({ unit }: LadderContext, { spread, spikes }: Usable): Found | string {
  const { relative } = spread;
  if (relative === undefined)
    return `the spikes at ${spikes.level} scatter no more than the blanks, so how scatter grows is not known`;
  const at = (rsd: number) =>
    relative < rsd ? spread.standardDeviation / Math.sqrt(rsd ** 2 - relative ** 2) : undefined;
  const [detected, quantified] = [at(0.2), at(0.1)];
  if (detected === undefined)
    return `the scatter far above the blank is ${(100 * relative).toPrecision(2)} %, so 20 % is never reached for certain`;
  return {
    limits: [
      spreadLimit("detection limit", unit, detected, undefined),
      ...(quantified === undefined ? [] : [spreadLimit("quantification limit", unit, quantified, undefined)]),
    ],
    doubts: quantified === undefined ? ["a relative standard deviation of 10 % is never reached"] : [],
    dof: Math.min(spread.dof, spikes.values.length - 1),
    remark: `relative scatter θ = ${relative.toPrecision(3)}`,
  };
}
