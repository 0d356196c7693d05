import { IonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { brentRoot } from "../../numeric/roots.js";
import {
  carbonicAcidOfBackground,
  type SuppressedSignal,
  suppressedSignal,
} from "../../water/conductivity/suppressed-signal.js";
import type { ResponseModel } from "../response/response-models.js";
import type { PhysicalCell } from "../response/types.js";

/** Half a Gaussian peak in steps of σ/4 to 6σ: the sum is the integral to twelve digits. */
const STEP = 0.25;
const STEPS = 24;
/** The table's grid in ln x, and how far it reaches beyond the standards. */
const GRID = Math.LN10 / 24;
const BELOW = 20;
const ABOVE = 10;

/**
 * Response curve with one free coefficient, y = γ·A(x): A is what ionic equilibrium says of a Gaussian peak of the ion,
 *
 *     A(x) = ∫ Δκ(c(t)) dt,   c(t) = x·V/(M·F·σ√2π)·exp(−t²/2σ²)   (area),   A(x) = Δκ(c(0))   (height)
 *
 * Δκ the change of conductivity behind the suppressor with the carbonic acid given, V loop, F flow, M molar mass. γ is 1
 * for a perfect instrument (cell constant, loop, flow). One table of A a curve, interpolated with cubics to six digits.
 *
 * @param range lowest and highest concentration above zero, mg/L
 * @throws IonbookError "no-cell", "no-ion", "bad-option", "unknown-option", "unknown-ion", "no-conductivity",
 *   "bad-background", "bad-concentration"
 * @source ionic equilibrium (derived), see `suppressedSignal`
 */
export function physicalModel(
  ionName: string | undefined,
  cell: PhysicalCell | undefined,
  range: readonly [low: number, high: number],
): ResponseModel {
  const { name, molarMass, settings } = checkedCell(ionName, cell);
  const signal = suppressedSignal(name, settings.carbonicAcid);
  // µmol/L at the top of the peak for 1 mg/L: nmol injected over the volume of the peak.
  const perConcentration =
    settings.loop / molarMass / (settings.flow * settings.sigma * Math.sqrt(2 * Math.PI));
  const theory = (x: number) =>
    settings.response === "height"
      ? signal.above(x * perConcentration)
      : areaOf(signal, x * perConcentration, settings.sigma);
  return modelOf(tableOf(theory, range[0] / BELOW, range[1] * ABOVE), range[1] * ABOVE);
}

function areaOf(signal: SuppressedSignal, top: number, sigma: number): number {
  let sum = signal.above(top);
  for (let i = 1; i <= STEPS; i++) sum += 2 * signal.above(top * Math.exp(-0.5 * (i * STEP) ** 2));
  return sum * STEP * sigma;
}

/** A(x)/x over ln x, which is smooth and nearly constant. */
interface Theory {
  value(x: number): number;
  slope(x: number): number;
}

function tableOf(theory: (x: number) => number, low: number, high: number): Theory {
  const first = Math.log(low) - 2 * GRID;
  const count = Math.ceil((Math.log(high) - first) / GRID) + 3;
  const ratio = Float64Array.from({ length: count }, (_, i) => {
    const x = Math.exp(first + i * GRID);
    return theory(x) / x;
  });
  /** Cubic through four neighbours, and its derivative in ln x; constant below the table. */
  const at = (x: number): readonly [value: number, slope: number] => {
    const place = (Math.log(x) - first) / GRID;
    if (!(place > 1)) return [ratio[1], 0];
    const i = Math.min(Math.floor(place), count - 3);
    const t = Math.min(place - i, 1);
    const [a, b, c, d] = [ratio[i - 1], ratio[i], ratio[i + 1], ratio[i + 2]];
    const [p, q, r] = [0.5 * (c - a), a - 2.5 * b + 2 * c - 0.5 * d, 0.5 * (d - a) + 1.5 * (b - c)];
    return [b + t * (p + t * (q + t * r)), (p + t * (2 * q + 3 * t * r)) / GRID];
  };
  return {
    value: (x) => (x === 0 ? 0 : x * at(Math.abs(x))[0]),
    slope: (x) => {
      const [value, slope] = at(Math.abs(x) || Number.MIN_VALUE);
      return value + slope;
    },
  };
}

/** The rising branch only: a cation in carbonic acid gives a dip first. */
function modelOf(theory: Theory, most: number): ResponseModel {
  let turn = 0;
  for (let x = most; x > most * 1e-6 && theory.slope(x) > 0; x *= 0.93) turn = x;
  if (turn < most * 2e-6) turn = 0;
  const find = (b: ArrayLike<number>, y: number): number => {
    try {
      return inverseOf(theory, y / b[0], turn, most);
    } catch {
      return Number.NaN;
    }
  };
  return {
    fits: "response",
    powers: [1],
    column: (_, x) => theory.value(x),
    columnSlope: (_, x) => theory.slope(x),
    respond: (b, x) => b[0] * theory.value(x),
    find,
    perResponse: (b, y) => 1 / (b[0] * theory.slope(find(b, y))),
    invert(b, y) {
      const wanted = y / b[0];
      const x = inverseOf(theory, wanted, turn, most);
      const slope = b[0] * theory.slope(x);
      return { concentration: x, perResponse: 1 / slope, perCoefficient: [-theory.value(x) / slope] };
    },
  };
}

function inverseOf(theory: Theory, wanted: number, turn: number, most: number): number {
  if (turn === 0 && wanted <= 0) return wanted / theory.slope(0);
  const lowest = theory.value(turn);
  if (wanted < lowest || wanted > theory.value(most)) {
    throw new IonbookError(
      "no-inverse",
      wanted < lowest
        ? "The response lies below the turning point of the curve: carbonic acid takes more of it than the ion brings"
        : "The response lies far beyond the highest standard: dilute the sample",
    );
  }
  return brentRoot((x) => theory.value(x) - wanted, turn, most, { relativeTolerance: 1e-12 });
}

const KNOWN_CELL = {
  loop: true,
  flow: true,
  sigma: true,
  carbonicAcid: true,
  background: true,
  response: true,
} as const;

function checkedCell(ionName: string | undefined, cell: PhysicalCell | undefined) {
  if (cell === undefined) {
    throw new IonbookError(
      "no-cell",
      'The model "physical" needs the instrument: physical: { loop: 25 /* µL */, flow: 1 /* mL/min */, sigma: 0.08 /* min */ }',
    );
  }
  if (ionName === undefined) {
    throw new IonbookError("no-ion", 'The model "physical" needs the ion: ion: "ammonium"');
  }
  requireKnownOptions(cell, KNOWN_CELL, "physical");
  const { loop, flow, sigma, background, response = "area" } = cell;
  for (const [what, value] of Object.entries({ loop, flow, sigma })) {
    if (typeof value === "number" && value > 0 && value < Infinity) continue;
    throw new IonbookError("bad-option", `physical: ${what} is ${String(value)}, give a number above 0`);
  }
  if (response !== "area" && response !== "height") {
    throw new IonbookError(
      "bad-option",
      `physical: response is ${String(response)}, give "area" or "height"`,
    );
  }
  const { name, molarMass } = ion(ionName);
  const carbonicAcid =
    cell.carbonicAcid ?? (background === undefined ? 0 : carbonicAcidOfBackground(background));
  return { name, molarMass, settings: { loop, flow, sigma, response, carbonicAcid } };
}
