import type { ChannelMethod, ColumnIon } from "./method.js";

/** Step of the walk through the eluent programme, min. */
const STEP = 0.002;

/** Eluent concentration at the column inlet, mmol/L. */
export function eluentAt(method: ChannelMethod, time: number): number {
  const { program, dwell } = method;
  const t = time - dwell;
  if (t <= program[0][0]) return program[0][1];
  for (let i = 1; i < program.length; i++) {
    const [t1, c1] = program[i - 1];
    const [t2, c2] = program[i];
    if (t < t2) return c1 + ((c2 - c1) * (t - t1)) / (t2 - t1);
  }
  return program[program.length - 1][1];
}

export interface Band {
  /** Where a linear column without plumbing centres the peak, min. */
  readonly centre: number;
  /** Spread of the linear column, min. */
  readonly sigma: number;
}

/**
 * When and how wide an ion leaves the column: it is carried on while the eluent around it has strength c by the
 * share dξ/(t₀·k(c)) of the column length per dξ, and leaves when the shares add to one; the spread is that of
 * the band at the outlet, t₀(1 + k)/√N.
 */
export function bandOf(method: ChannelMethod, ion: ColumnIon): Band {
  const start = method.program[0][1];
  const factorAt = (xi: number) => ion.startingFactor * (eluentAt(method, xi) / start) ** -ion.order;
  let travelled = 0;
  let xi = 0;
  while (travelled < 1) {
    const part = STEP / (method.holdUp * factorAt(xi + STEP / 2));
    if (travelled + part >= 1) xi += ((1 - travelled) / part) * STEP;
    else xi += STEP;
    travelled += part;
    if (xi > 200) throw new Error(`${ion.name} never leaves the column`);
  }
  const atOutlet = factorAt(xi);
  return { centre: xi + method.holdUp, sigma: (method.holdUp * (1 + atOutlet)) / Math.sqrt(ion.plates) };
}

/** Condition of the instrument during one injection: what multiplies adjusted retention. */
export interface RetentionState {
  /** Slow change by eluent strength, as ln(strength). */
  readonly strength: number;
  /** Change common to all ions (flow). */
  readonly flow: number;
}

/** Band of an ion in one injection: adjusted times move by flow and by eluent strength to the ion's own order. */
export function shifted(
  band: Band,
  method: ChannelMethod,
  order: number,
  state: RetentionState,
  own: number,
): Band {
  const factor = Math.exp(-order * state.strength + state.flow + own);
  return { centre: method.holdUp + (band.centre - method.holdUp) * factor, sigma: band.sigma * factor };
}
