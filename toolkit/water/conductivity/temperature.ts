import { IonbookError } from "../../errors.js";
import { isMeasuredValue, type MeasuredValue, times } from "../../uncertainty/measured.js";

/** How the conductivity of a water changes with temperature, as data: κ(t) = κ(25)·[1 + perKelvin·(t − 25)]. */
export interface TemperatureRule {
  readonly source: string;
  readonly perKelvin: number;
  /** °C between which the rule holds. */
  readonly from: number;
  readonly to: number;
}

/** Rules by name. They disagree by 2 % at 20 °C, so a reading should say which one its meter or table used. */
export const TEMPERATURE_RULES: Readonly<Record<"linear" | "groundwater-20", TemperatureRule>> = {
  linear: {
    source:
      "Standard Methods for the Examination of Water and Wastewater, 2510: 1.91 % per kelvin (from memory)",
    perKelvin: 0.0191,
    from: 0,
    to: 60,
  },
  "groundwater-20": {
    source: "P.J. Stuyfzand, KIWA 1987: at 20 °C 0.885 of the value at 25 °C (read)",
    perKelvin: (1 - 0.885) / 5,
    from: 20,
    to: 20,
  },
};

/** A rule by its name, or one's own. */
export type TemperatureRuleChoice = keyof typeof TEMPERATURE_RULES | TemperatureRule;

/**
 * The conductivity at 25 °C of a water whose conductivity is known at another temperature:
 * κ(25) = κ(t)/[1 + a·(t − 25)], a per kelvin.
 *
 * @param conductivity µS/cm at `temperature`; a plain number comes back as one
 * @param temperature °C
 * @param rule default "linear", a = 0.0191; "groundwater-20" for older tables at 20 °C (κ(25) = κ(20)/0.885)
 * @throws IonbookError "outside-validity" for a temperature outside the rule's range; "unknown-rule"; "not-a-number"
 * @source `TEMPERATURE_RULES`
 */
export function conductivityAt25<T extends number | MeasuredValue>(
  conductivity: T,
  temperature: number,
  rule: TemperatureRuleChoice = "linear",
): T {
  return scaled(conductivity, 1 / temperatureFactor(temperature, rule));
}

/**
 * The conductivity at another temperature of a water whose conductivity at 25 °C is known: κ(t) = κ(25)·[1 + a·(t − 25)].
 *
 * @param conductivity µS/cm at 25 °C; a plain number comes back as one
 * @param temperature °C
 * @param rule as `conductivityAt25`
 * @throws as `conductivityAt25`
 * @source `TEMPERATURE_RULES`
 */
export function conductivityAtTemperature<T extends number | MeasuredValue>(
  conductivity: T,
  temperature: number,
  rule: TemperatureRuleChoice = "linear",
): T {
  return scaled(conductivity, temperatureFactor(temperature, rule));
}

/** κ(t)/κ(25) by a rule. @throws IonbookError "outside-validity", "unknown-rule" */
export function temperatureFactor(temperature: number, choice: TemperatureRuleChoice = "linear"): number {
  const rule = ruleOf(choice);
  if (!(temperature >= rule.from && temperature <= rule.to)) {
    const range = rule.from === rule.to ? `at ${rule.from} °C` : `from ${rule.from} to ${rule.to} °C`;
    throw new IonbookError(
      "outside-validity",
      `this rule of temperature holds ${range}, not at ${temperature} °C: ${rule.source}`,
    );
  }
  return 1 + rule.perKelvin * (temperature - 25);
}

function ruleOf(choice: TemperatureRuleChoice): TemperatureRule {
  const rule: TemperatureRule | undefined =
    typeof choice === "string" && Object.hasOwn(TEMPERATURE_RULES, choice)
      ? TEMPERATURE_RULES[choice]
      : (choice as TemperatureRule);
  if (typeof rule === "object" && rule !== null && Number.isFinite(rule.perKelvin)) return rule;
  throw new IonbookError(
    "unknown-rule",
    `a rule of temperature is ${Object.keys(TEMPERATURE_RULES)
      .map((name) => `"${name}"`)
      .join(", ")} or { source, perKelvin, from, to }, not ${JSON.stringify(choice)}`,
  );
}

function scaled<T extends number | MeasuredValue>(conductivity: T, factor: number): T {
  if (isMeasuredValue(conductivity)) return times(conductivity, factor) as T;
  if (typeof conductivity === "number" && Number.isFinite(conductivity)) return (conductivity * factor) as T;
  throw new IonbookError(
    "not-a-number",
    `a conductivity is a number in µS/cm or a measured value, not ${String(conductivity)}`,
  );
}
