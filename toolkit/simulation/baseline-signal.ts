import type { Random } from "../numeric/random.js";
import { eluentConcentration } from "../separation/eluent-program.js";
import { elutionProfile, type TimeGrid } from "./elution-profile.js";
import { applyLag, exponentialLag } from "./exponential-lag.js";
import type { Instrument } from "./instrument.js";

/** s between the knots of the slow wander. */
const KNOTS = 300;
/** Smear of the eluent gradient on its way to the cell, s. */
const GRADIENT_LAG = 20;
/** Width and recovery of the water dip, s. */
const DIP_SIGMA = 3;
const DIP_TAU = 4;
/** Spread of the gradient rise from injection to injection, relative. */
const RISE_SPREAD = 0.01;

/**
 * What the cell would show on top of its constant background if no ion eluted, µS/cm: gradient rise, slow wander,
 * linear drift and the water dip at the hold-up time.
 *
 * @param holdUpTime of this injection, min
 * @param stream gives each part its own random stream
 * @source sizes are those of a quiet suppressed system (common practice, no source)
 */
export function baselineSignal(
  instrument: Instrument,
  holdUpTime: number,
  grid: TimeGrid,
  stream: (stage: "wander" | "drift" | "rise") => Random,
): Float64Array {
  const rise = instrument.gradientRise * (1 + RISE_SPREAD * stream("rise").normal());
  const out = gradientRise(instrument, rise, grid);
  addWander(out, grid.step, instrument.wander, stream("wander"));
  const drift = (instrument.drift * stream("drift").normal()) / 60;
  const dip = elutionProfile({ center: 60 * holdUpTime, sigma: DIP_SIGMA, tau: DIP_TAU, overload: 0 }, grid);
  const depth = instrument.waterDip / dip.reduce((most, y) => Math.max(most, y), 0);
  for (let i = 0; i < out.length; i++) out[i] += drift * i * grid.step - depth * dip[i];
  return out;
}

function gradientRise(
  { program, holdUpTime, dwellTime }: Instrument,
  rise: number,
  { step, length }: TimeGrid,
): Float64Array {
  const delay = holdUpTime + dwellTime;
  const start = program[0][1];
  const out = new Float64Array(length);
  for (let i = 0; i < length; i++)
    out[i] = rise * (eluentConcentration(program, (i * step) / 60 - delay) - start);
  return applyLag(exponentialLag(GRADIENT_LAG, step), out);
}

/** A smooth curve through random knots: cubic pieces whose slope at a knot is that of its two neighbours. */
function addWander(out: Float64Array, step: number, deviation: number, random: Random): void {
  const knots = Array.from(
    { length: Math.ceil((out.length * step) / KNOTS) + 4 },
    () => deviation * random.normal(),
  );
  for (let i = 0; i < out.length; i++) {
    const place = (i * step) / KNOTS + 1;
    const k = Math.floor(place);
    const x = place - k;
    const slopeHere = (knots[k + 1] - knots[k - 1]) / 2;
    const slopeNext = (knots[k + 2] - knots[k]) / 2;
    const gap = knots[k + 1] - knots[k];
    out[i] +=
      knots[k] +
      x * (slopeHere + x * (3 * gap - 2 * slopeHere - slopeNext + x * (slopeHere + slopeNext - 2 * gap)));
  }
}
