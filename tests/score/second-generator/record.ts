import type { TruePeak } from "../truth.js";
import { type BandShape, type Passage, passCell } from "./column.js";
import { conductivityAt, hydrogenAt } from "./conductivity-cell.js";
import { addFlicker, addPulsation, addVoidDip, addWander, addWhite, QUIETNESS } from "./disturbances.js";
import type { ChannelMethod, ColumnIon } from "./method.js";
import { describePeak } from "./peak-truth.js";
import { type Stream, stream } from "./random.js";
import { bandOf, eluentAt, type RetentionState, shifted } from "./retention.js";
import { ACID_LEAK, BASE_LEAK, CARBONIC, type Solute, soluteNamed } from "./solutes.js";

/** Sampling interval, s. */
export const SAMPLE_INTERVAL = 0.2;
/** Time constant of the detector, s. */
const DETECTOR_LAG = 0.35;

/** What goes through the system in one injection. */
export interface Injected {
  readonly injection: string;
  /** Molar concentration in what was really injected, µmol/L, by ion or stranger. */
  readonly micromolar: ReadonlyMap<string, number>;
  /** Volume really injected over nominal volume. */
  readonly volumeFactor: number;
  readonly retention: RetentionState;
  /** Height of the dissolved-carbonate hump in the cell, mol/L. */
  readonly carbonate: number;
  readonly voidDepth: number;
}

export interface Recorded {
  /** µS/cm, every SAMPLE_INTERVAL s from 0. */
  readonly signal: Float64Array;
  readonly peaks: readonly TruePeak[];
}

interface Passing {
  readonly ion: ColumnIon;
  readonly solute: Solute;
  readonly first: number;
  /** mol/L at the cell, from index `first`. */
  readonly concentration: Float64Array;
}

const bands = new WeakMap<ColumnIon, ReturnType<typeof bandOf>>();

function bandFor(method: ChannelMethod, ion: ColumnIon) {
  let band = bands.get(ion);
  if (band === undefined) {
    band = bandOf(method, ion);
    bands.set(ion, band);
  }
  return band;
}

function shapeOf(sigma: number, ion: ColumnIon): BandShape {
  return {
    sigma,
    mixing: 0.6,
    quick: ion.quick * sigma,
    lazy: 1.1 * sigma,
    lazyShare: ion.lazyShare,
    pocketShare: ion.pocketShare,
    pocket: 3 * sigma,
  };
}

/** All substances of an injection as they pass the cell. */
function passings(method: ChannelMethod, injected: Injected, samples: number, random: Stream): Passing[] {
  const list: Passing[] = [];
  for (const ion of [...method.targets, ...method.strangers]) {
    const own = 1.5e-4 * random.normal();
    const micromolar = injected.micromolar.get(ion.name) ?? 0;
    if (micromolar <= 0) continue;
    const moles = micromolar * 1e-12 * method.loop * injected.volumeFactor;
    const band = shifted(bandFor(method, ion), method, ion.order, injected.retention, own);
    const sigma = band.sigma * 60;
    const loading = ion.loadingPerMicromole * moles * 1e6;
    const passage: Passage = passCell(
      band.centre * 60,
      loading,
      shapeOf(sigma, ion),
      SAMPLE_INTERVAL,
      samples,
    );
    const perShare = moles / ((method.flow / 60000) * SAMPLE_INTERVAL);
    const concentration = passage.share.map((share) => share * perShare);
    list.push({ ion, solute: soluteNamed(ion.name), first: passage.first, concentration });
  }
  return list;
}

/** Leak of the suppressor over the run, mol/L: follows the eluent at the outlet, smoothed by the mixing of the pump. */
function leakOverRun(method: ChannelMethod, samples: number): Float64Array {
  const out = new Float64Array(samples);
  const keep = Math.exp(-SAMPLE_INTERVAL / 9);
  const start = method.program[0][1];
  let mixed = start;
  let strength = start;
  for (let i = 0; i < samples; i++) {
    const now = eluentAt(method, (i * SAMPLE_INTERVAL) / 60 - method.holdUp);
    mixed = keep * mixed + (1 - keep) * now;
    strength = keep * strength + (1 - keep) * mixed;
    out[i] = method.leak + method.leakRise * (strength - start);
  }
  return out;
}

/** Dissolved carbonic acid over the run, mol/L: a floor and the hump of the sample's own carbonate. */
function carbonateOverRun(method: ChannelMethod, injected: Injected, samples: number): Float64Array {
  const out = new Float64Array(samples).fill(method.carbonDioxide);
  if (injected.carbonate <= 0) return out;
  const { centre, sigma } = carbonateBand(injected);
  for (let i = 0; i < samples; i++) {
    const u =
      ((i * SAMPLE_INTERVAL) / 60 - centre) / (i * SAMPLE_INTERVAL < centre * 60 ? sigma : 1.2 * sigma);
    out[i] += injected.carbonate * Math.exp(-0.5 * u * u);
  }
  return out;
}

function carbonateBand(injected: Injected) {
  return { centre: 12.35 * Math.exp(-1.2 * injected.retention.strength), sigma: 0.36 };
}

/** Conductivity from index `from` to `to` with the listed substances, µS/cm; the background is always there. */
function conductivityOver(
  background: readonly [Solute, Float64Array][],
  passing: readonly Passing[],
  from: number,
  to: number,
): Float64Array {
  const solutes = [...background.map(([solute]) => solute), ...passing.map(({ solute }) => solute)];
  const concentrations = new Float64Array(solutes.length);
  const out = new Float64Array(to - from);
  const fixed = background.length;
  const active: number[] = [];
  let h = 1e-7;
  for (let i = from; i < to; i++) {
    active.length = 0;
    for (let b = 0; b < fixed; b++) {
      concentrations[b] = background[b][1][i];
      active.push(b);
    }
    for (let p = 0; p < passing.length; p++) {
      const at = i - passing[p].first;
      const c = at >= 0 && at < passing[p].concentration.length ? passing[p].concentration[at] : 0;
      concentrations[fixed + p] = c;
      if (c > 1e-13) active.push(fixed + p);
    }
    h = hydrogenAt(solutes, concentrations, active, h);
    out[i - from] = conductivityAt(solutes, concentrations, active, h);
  }
  return out;
}

function detectorLag(values: Float64Array): void {
  const keep = Math.exp(-SAMPLE_INTERVAL / DETECTOR_LAG);
  let state = values[0];
  for (let i = 0; i < values.length; i++) {
    state = keep * state + (1 - keep) * values[i];
    values[i] = state;
  }
}

/** Noise-free record of an injection with the truth of every peak. */
export function recordClean(method: ChannelMethod, injected: Injected, random: Stream): Recorded {
  const samples = Math.round((method.end * 60) / SAMPLE_INTERVAL) + 1;
  const background: [Solute, Float64Array][] = [
    [method.channel === "anion" ? ACID_LEAK : BASE_LEAK, leakOverRun(method, samples)],
    [CARBONIC, carbonateOverRun(method, injected, samples)],
  ];
  const passing = passings(method, injected, samples, random);
  const raw = conductivityOver(background, passing, 0, samples);
  const signal = raw.slice();
  detectorLag(signal);
  const targets = new Set(method.targets.map(({ name }) => name));
  const peaks: TruePeak[] = [];
  for (const one of passing) {
    const to = one.first + one.concentration.length;
    const others = passing.filter((other) => other !== one);
    const without = conductivityOver(background, others, one.first, to);
    const own = without.map((value, i) => raw[one.first + i] - value);
    detectorLag(own);
    const kind = targets.has(one.ion.name) ? "target" : "unknown";
    const peak = describePeak(
      { injection: injected.injection, name: one.ion.name, kind },
      { own, first: one.first, total: signal, interval: SAMPLE_INTERVAL },
    );
    if (peak !== undefined) peaks.push(peak);
  }
  if (injected.carbonate > 0) peaks.push(carbonatePeak(method, injected, background, samples));
  peaks.push(voidPeak(method, injected));
  return { signal, peaks };
}

function carbonatePeak(
  method: ChannelMethod,
  injected: Injected,
  background: readonly [Solute, Float64Array][],
  samples: number,
): TruePeak {
  const floor = new Float64Array(samples).fill(method.carbonDioxide);
  const withHump = conductivityOver(background, [], 0, samples);
  const flat = conductivityOver([background[0], [CARBONIC, floor]], [], 0, samples);
  const own = withHump.map((value, i) => value - flat[i]);
  const peak = describePeak(
    { injection: injected.injection, name: "carbonate", kind: "system" },
    { own, first: 0, total: own, interval: SAMPLE_INTERVAL },
  );
  if (peak === undefined) throw new Error(`carbonate of ${injected.injection} lies outside the record`);
  return peak;
}

function voidPeak(method: ChannelMethod, injected: Injected): TruePeak {
  const { injection, voidDepth } = injected;
  return {
    injection,
    name: "void",
    kind: "system",
    retentionTime: method.holdUp,
    area: 0,
    height: -voidDepth,
    widthHalf: 0.16,
    visible: true,
  };
}

/** The record as the detector writes it: clean record, void dip, wander, noise, rounded to 1e-5 µS/cm. */
export function record(seed: number, method: ChannelMethod, injected: Injected): Recorded {
  const of = (stage: string) => stream(seed, method.channel, injected.injection, stage);
  const clean = recordClean(method, injected, of("retention"));
  const signal = clean.signal.slice();
  addVoidDip(signal, SAMPLE_INTERVAL, method.holdUp * 60, injected.voidDepth);
  addWander(signal, SAMPLE_INTERVAL, QUIETNESS, of("wander"));
  addWhite(signal, QUIETNESS.white, of("white"));
  addFlicker(signal, QUIETNESS.flicker, of("flicker"));
  addPulsation(signal, SAMPLE_INTERVAL, QUIETNESS.pulsation, of("pulsation"));
  for (let i = 0; i < signal.length; i++) signal[i] = Math.round(signal[i] * 1e5) / 1e5;
  return { signal, peaks: clean.peaks };
}
