/** A unit of time or signal as found in a file. */
export interface FoundUnit {
  readonly quantity: "time" | "conductivity" | "other";
  /** Unit the values get: "min", "µS/cm", or the file's own for other signals. */
  readonly unit: string;
  /** Factor from the file's unit to `unit`. */
  readonly factor: number;
  /** As the file writes it. */
  readonly written: string;
}

const TIME_FACTORS: readonly (readonly [RegExp, number])[] = [
  [/^(?:min|mins|minute|minutes)\.?$/i, 1],
  [/^(?:s|[Ss]ecs?|SECS?|[Ss]econds?|SECONDS?)\.?$/, 1 / 60],
  [/^(?:h|[Hh]rs?|[Hh]ours?|HOURS?)\.?$/, 60],
  [/^(?:ms|msec|millisecond|milliseconds)$/, 1 / 60_000],
];

/** µS/cm per unit of the prefix, for S/cm; S/m is a hundredth of S/cm. */
const PREFIX_FACTORS: Readonly<Record<string, number>> = { n: 1e-3, µ: 1, m: 1e3, "": 1e6 };

const CONDUCTIVITY = /^([nµm]?)S(?:(\/|_|\*|\.|·| )?(cm|m)(\^?-1|⁻¹)?)?$/;

const OTHER_UNITS = /^(?:m?AU|[mµn]?V|[nµp]A|counts?|cts|[nµ]?RIU|%|a\.u\.|arbitrary units?)$/i;

/**
 * What a unit text means: time to min, conductivity to µS/cm, anything known else as it stands; undefined
 * for a text that is no unit. A bare "µS" or "nS", as detectors print it, is taken as per cm.
 */
export function findUnit(text: string): FoundUnit | undefined {
  const written = text.trim();
  for (const [pattern, factor] of TIME_FACTORS) {
    if (pattern.test(written)) return { quantity: "time", unit: "min", factor, written };
  }
  const conductivity = conductivityFactor(written);
  if (conductivity !== undefined) {
    return { quantity: "conductivity", unit: "µS/cm", factor: conductivity, written };
  }
  if (OTHER_UNITS.test(written)) return { quantity: "other", unit: written, factor: 1, written };
  return undefined;
}

/** The unit of a signal, any text being allowed: what is not conductivity is kept as it stands. */
export function signalUnitOf(text: string): FoundUnit {
  const found = findUnit(text);
  if (found !== undefined && found.quantity !== "time") return found;
  return foreign(text);
}

function conductivityFactor(written: string): number | undefined {
  const plain = written.replace(/[μu]/g, "µ").replace(/^micro/i, "µ");
  const match = CONDUCTIVITY.exec(plain);
  if (match === null) return undefined;
  const [, prefix, separator, length, power] = match;
  const isBareSiemens = length === undefined;
  if (isBareSiemens && prefix === "") return undefined;
  const isProduct = separator !== "/" && separator !== "_";
  if (!isBareSiemens && isProduct !== (power !== undefined)) return undefined;
  const factor = PREFIX_FACTORS[prefix];
  return length === "m" ? factor / 100 : factor;
}

/** A column title taken apart: "Conductivity (nS/cm)" is "Conductivity" and its unit. */
export interface ColumnLabel {
  readonly name: string;
  readonly unit: FoundUnit | undefined;
}

const BRACKETED = /^(.*?)[\s/_,:]*[[(]([^\])]+)[\])]\s*$/;
const SEPARATOR = /\s*[/,:;_]\s*|\s+in\s+|\s+/g;

/** Reads a column title in the usual ways of writing quantity and unit: t/min, t [min], "t (min)", "t, min", t_min. */
export function readColumnLabel(cell: string): ColumnLabel {
  const text = cell
    .trim()
    .replace(/^"(.*)"$/, "$1")
    .trim();
  const bracketed = BRACKETED.exec(text);
  if (bracketed !== null) {
    return { name: bracketed[1], unit: findUnit(bracketed[2]) ?? foreign(bracketed[2]) };
  }
  const whole = findUnit(text);
  if (whole !== undefined) return { name: "", unit: whole };
  return splitAtUnit(text) ?? { name: text, unit: undefined };
}

/** The longest ending of the title that is a unit and stands behind a separator. */
function splitAtUnit(text: string): ColumnLabel | undefined {
  for (const match of text.matchAll(SEPARATOR)) {
    const unit = findUnit(text.slice(match.index + match[0].length));
    if (unit !== undefined) return { name: text.slice(0, match.index), unit };
  }
  return undefined;
}

function foreign(text: string): FoundUnit {
  return { quantity: "other", unit: text.trim(), factor: 1, written: text.trim() };
}
