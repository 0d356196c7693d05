import type { LadderLimit, LimitDefinition, LimitRole, LimitRung } from "./ladder-types.js";
import { spreadFactors } from "./spread.js";

/** What a definition is, whatever the data. */
export interface Definition {
  readonly id: LimitDefinition;
  readonly name: string;
  readonly standard: string;
  readonly formula: string;
  readonly from: LimitRung["from"];
  readonly needs: string;
  readonly remark?: string;
}

/** What the data make of it. */
export interface Found {
  readonly limits: readonly LadderLimit[];
  readonly doubts?: readonly string[];
  readonly dof?: number;
  readonly remark?: string;
}

/** The numbers of a definition, or a text why there are none, made a rung. */
export function rungOf(definition: Definition, unit: string, found: Found | string): LimitRung {
  const missing = typeof found === "string";
  const limits = missing ? [] : found.limits;
  const doubts = missing ? [] : (found.doubts ?? []);
  const of = (role: LimitRole) => limits.find((limit) => limit.role === role)?.value;
  const headline = limits.find(({ role }) => role === "detection limit") ?? limits[0];
  return {
    id: definition.id,
    name: definition.name,
    standard: definition.standard,
    formula: definition.formula,
    from: definition.from,
    needs: definition.needs,
    requirement: missing ? "not met" : doubts.length > 0 ? "doubtful" : "met",
    reasons: missing ? [found] : doubts,
    limits,
    criticalValue: of("critical value"),
    detectionLimit: of("detection limit"),
    quantificationLimit: of("quantification limit"),
    value: headline?.value,
    unit: headline?.unit ?? unit,
    interval: headline?.interval,
    dof: missing ? undefined : found.dof,
    remark: (missing ? undefined : found.remark) ?? definition.remark,
    inForce: false,
  };
}

/** A limit offset + k·s with its interval from the χ² interval of s; without ν it has none. */
export function spreadLimit(
  role: LimitRole,
  unit: string,
  bySpread: number,
  dof: number | undefined,
  offset = 0,
): LadderLimit {
  const factors = dof === undefined || dof === Infinity ? undefined : spreadFactors(dof);
  return {
    role,
    value: offset + bySpread,
    unit,
    interval: factors && {
      low: offset + bySpread * factors.low,
      high: offset + bySpread * factors.high,
      level: 0.95,
    },
  };
}

/** "7 of the 10 …" where something is short; `undefined` where there is enough. */
export function tooFew(there: number, asked: number, what: string): string | undefined {
  if (there >= asked) return undefined;
  if (there === 0) return `there are no ${what}; ${asked} are needed`;
  return `there ${there === 1 ? "is" : "are"} ${there} of at least ${asked} ${what}`;
}
