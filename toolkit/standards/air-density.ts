import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";

/** Air of a room. */
export interface AirConditions {
  /** °C */
  readonly temperature: number;
  /** At the place itself, not reduced to sea level, hPa. */
  readonly pressure: number;
  /** Relative humidity, %. @default 50 */
  readonly humidity?: number;
}

const RANGES = { temperature: [10, 30, "°C"], pressure: [600, 1100, "hPa"], humidity: [0, 80, "%"] } as const;

/**
 * Density of moist air, kg/m³:
 *
 *     ρ = (0.34848·p − 0.009·h·e^(0.061·t)) / (273.15 + t)
 *
 * p pressure in hPa, h relative humidity in %, t temperature in °C. Valid from 10 to 30 °C and up to 80 %; within
 * 2·10⁻⁴ of its value from 900 to 1100 hPa, not stated below, where it is still far better than none.
 *
 * @throws IonbookError "bad-air" outside these ranges, "unknown-option", "bad-option"
 * @source simplified form of the CIPM formula: OIML R 111-1:2004, E.3 (from memory)
 */
export function airDensity(air: AirConditions): number {
  requireKnownOptions(air, { temperature: true, pressure: true, humidity: true }, "airDensity");
  const { temperature, pressure, humidity = 50 } = air;
  for (const [name, value] of Object.entries({ temperature, pressure, humidity })) {
    const [low, high, unit] = RANGES[name as keyof typeof RANGES];
    if (typeof value === "number" && value >= low && value <= high) continue;
    throw new IonbookError("bad-air", `${name} is ${String(value)}; give ${unit} from ${low} to ${high}`);
  }
  return (0.34848 * pressure - 0.009 * humidity * Math.exp(0.061 * temperature)) / (273.15 + temperature);
}
