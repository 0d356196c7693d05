import { IonbookError } from "../errors.js";
import { molarMassOf } from "../ions/formula.js";
import { ion } from "../ions/ion-table.js";
import { compositionOf, type Salt } from "./salts.js";

/** Ions that certificates state as an element, with how labels write it. */
const ELEMENT_FORMS: Readonly<Record<string, readonly [element: string, label: RegExp]>> = {
  nitrate: ["N", /(?:NO3|nitrate)\s*[-–_ ]\s*(?:N|nitrogen)(?![a-z])|(?:^|[^a-z])as\s+N(?![a-z])/i],
  nitrite: ["N", /(?:NO2|nitrite)\s*[-–_ ]\s*(?:N|nitrogen)(?![a-z])|(?:^|[^a-z])as\s+N(?![a-z])/i],
  ammonium: [
    "N",
    /(?:NH[34]|ammoni(?:um|a))\s*[-–_ ]\s*(?:N|nitrogen)(?![a-z])|(?:^|[^a-z])as\s+N(?![a-z])/i,
  ],
  phosphate: [
    "P",
    /(?:PO4|(?:ortho)?phosphate)\s*[-–_ ]\s*(?:P|phosphorus)(?![a-z])|(?:^|[^a-z])as\s+P(?![a-z])/i,
  ],
  sulfate: [
    "S",
    /(?:SO4|sul(?:f|ph)ate)\s*[-–_ ]\s*(?:S|sul(?:f|ph)ur)(?![a-z])|(?:^|[^a-z])as\s+S(?![a-z])/i,
  ],
};

/** "NO3-N" as an ion's name. */
const ELEMENT_NAME = /^(.+?)\s*[-–_ ]\s*(N|P|S)$/;

/**
 * Refuses a stock whose label says "as N" while its unit says mg/L of the ion: by 4.43 wrong for nitrate.
 *
 * @throws IonbookError "form-slip"
 */
export function requirePlainForm(stock: string, givenIon: string, unit: string): void {
  const asElement = typeof givenIon === "string" ? ELEMENT_NAME.exec(givenIon.trim()) : null;
  const named = asElement && knownIon(asElement[1]);
  if (asElement && named) {
    throw new IonbookError(
      "form-slip",
      `The stock "${stock}" is given for "${givenIon}": write ion: "${named}" and unit: "mg/L as ${asElement[2]}"`,
    );
  }
  const name = ion(givenIon).name;
  const form = ELEMENT_FORMS[name];
  if (form === undefined || /\bas\b/.test(unit) || !/g\//.test(unit) || !form[1].test(stock)) return;
  const factor = ion(name).molarMass / molarMassOf({ [form[0]]: 1 });
  throw new IonbookError(
    "form-slip",
    `The stock "${stock}" calls itself "as ${form[0]}", yet its unit is ${unit} of ${name}: the two differ by ${factor.toFixed(2)}. Give unit: "${unit} as ${form[0]}", or a name that fits the unit`,
  );
}

/** The ion of a text with or without its charge: "NO3" of "NO3-N". */
function knownIon(text: string): string | undefined {
  for (const spelling of [text, `${text}-`, `${text}+`, `${text}^2-`, `${text}^3-`]) {
    try {
      return ion(spelling).name;
    } catch {
      // The next spelling may be one.
    }
  }
  return undefined;
}

/** Ratios are told apart to this, relative: half the distance of the closest two slips of the trade. */
const CLOSE = 0.02;

/**
 * What slip explains that a stock holds `ratio` times what its label says; undefined where none does.
 *
 * @param ratio found over declared
 */
export function likelySlip(ratio: number, name: string, solid: Salt | undefined): string | undefined {
  const { molarMass } = ion(name);
  const slips: (readonly [number, string])[] = [];
  const form = ELEMENT_FORMS[name];
  if (form) {
    const factor = molarMass / molarMassOf({ [form[0]]: 1 });
    slips.push([factor, `the label counts ${name} as ${form[0]}`]);
    slips.push([1 / factor, `the mass was calculated for ${form[0]}, not for ${name}`]);
  }
  const count = solid && compositionOf(solid).get(name);
  if (solid && count !== undefined) {
    const factor = (count * molarMass) / solid.molarMass;
    slips.push([factor, `the label counts ${solid.formula}, not ${name}`]);
  }
  for (const power of [10, 100, 1000]) {
    slips.push([power, `a factor of ${power}`], [1 / power, `a factor of 1/${power}`]);
  }
  slips.push([2, "a factor of 2"], [0.5, "a factor of 1/2"]);
  return slips.find(([factor]) => Math.abs(ratio / factor - 1) < CLOSE)?.[1];
}

/** @throws IonbookError "unknown-unit" for what is no text */
export function requireUnitText(stock: string, unit: unknown): void {
  if (typeof unit === "string") return;
  throw new IonbookError(
    "unknown-unit",
    `The stock "${stock}" has the unit ${String(unit)}: write it as text, "mg/L" or "mg/L as N"`,
  );
}
