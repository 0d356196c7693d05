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

function currieRungs(context: LadderContext, made: Made): readonly LimitRung[] {
  const { unit, alpha, beta, replicates, blankCorrected } = context;
  const limits = (spread: BlankSpread, s: number) =>
    currieLimits({ blankStandardDeviation: s, dof: spread.dof, alpha, beta });
  const offset = (spread: BlankSpread) => (blankCorrected ? 0 : Math.max(0, spread.mean));
  const limit = (spread: BlankSpread, role: LimitRole, value: number, from = 0) =>
    spreadLimit(role, unit, value, spread.dof, from);
  const pairedSpread = (spread: BlankSpread) =>
    (spread.standardDeviation * Math.SQRT2) / Math.sqrt(replicates);
  const known = "mean of the blanks known";
  return [
    made(
      blank(
        "currie",
        `Currie, ${known}, by 2t`,
        "t(1 − α, ν)·s₀·√(1/m + 1/n₀); x_D = (t_α + t_β)·…",
        BLANKS,
        IUPAC,
      ),
      (spread) => {
        const found = limits(spread, spread.ofDifference);
        return {
          limits: [
            limit(spread, "critical value", found.criticalLevel, offset(spread)),
            limit(spread, "detection limit", found.detectionLimitByTwoT, offset(spread)),
          ],
          dof: spread.dof,
          remark: "missed with β on average where s₀ is estimated",
        };
      },
    ),
    made(
      blank("currie-exact", `Currie, ${known}, exact`, "δ(α, β, ν)·s₀·√(1/m + 1/n₀)", BLANKS, IUPAC),
      (spread) => ({
        limits: [
          limit(
            spread,
            "detection limit",
            limits(spread, spread.ofDifference).detectionLimit,
            offset(spread),
          ),
        ],
        dof: spread.dof,
        remark: "missed with β by a content of δ·σ; at the estimated δ·s₀ a little more often",
      }),
    ),
    made(
      blank(
        "currie-paired",
        "Currie, a blank with each sample, by 2t",
        "t(1 − α, ν)·√2·s₀; x_D = (t_α + t_β)·√2·s₀",
        BLANKS,
        IUPAC,
      ),
      (spread) => {
        const found = limits(spread, pairedSpread(spread));
        return {
          limits: [
            limit(spread, "critical value", found.criticalLevel),
            limit(spread, "detection limit", found.detectionLimitByTwoT),
          ],
          dof: spread.dof,
        };
      },
    ),
    made(
      blank(
        "currie-paired-exact",
        "Currie, a blank with each sample, exact",
        "δ(α, β, ν)·√2·s₀",
        BLANKS,
        IUPAC,
      ),
      (spread) => ({
        limits: [limit(spread, "detection limit", limits(spread, pairedSpread(spread)).detectionLimit)],
        dof: spread.dof,
      }),
    ),
    made(blank("currie-quantification", "Currie, relative s.d. 10 %", "10·s₀", BLANKS, IUPAC), (spread) => ({
      limits: [limit(spread, "quantification limit", 10 * spread.standardDeviation)],
      dof: spread.dof,
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
