/**
 * The separation column as a chain of mixing contacts: a pulse is handed on from contact to contact, a fixed
 * share of what is in a contact moves on at each step, and less than that share where the solid phase fills up
 * (Langmuir). The spread of the peak is that of the chain itself; no peak function is written down anywhere.
 *
 * One step moves a cell's content by Φ(c) = ν·c/(1 + βc) cells of time; after N steps a linear chain has delayed
 * the pulse by Nν cells with variance Nν(1 − ν).
 */
const STEPS = 1200;
const SHARE = 0.3;

export interface ElutionProfile {
  /** Share of the amount per cell; sums to 1. */
  readonly share: Float64Array;
  /** Cell that a linear chain would centre the peak on. */
  readonly centre: number;
  /** Cells to one standard deviation of a linear chain. */
  readonly cellsPerSigma: number;
}

/**
 * Profile at the end of the chain for a loading q = amount·(N-fold capacity)⁻¹ in the sense of the loading of
 * Haarhoff and Van der Linde: q ≪ 1 linear, q = 1 visibly early and tailed. O(N^1.5), about a millisecond.
 */
export function elute(loading: number): ElutionProfile {
  const sigma = Math.sqrt(STEPS * SHARE * (1 - SHARE));
  const centre = STEPS * SHARE;
  const cells = Math.ceil(centre + 9 * sigma);
  const share = new Float64Array(cells);
  share[0] = 1;
  const beta = loading * SHARE;
  for (let step = 1; step <= STEPS; step++) {
    const middle = step * SHARE;
    const spread = Math.sqrt(middle * (1 - SHARE)) + 1;
    const first = Math.max(0, Math.floor(middle - (9 + 4 * loading) * spread));
    const last = Math.min(cells - 1, Math.ceil(middle + 8.5 * spread));
    let incoming = 0;
    for (let i = first; i <= last; i++) {
      const c = share[i];
      const outgoing = (SHARE * c) / (1 + beta * c);
      share[i] = c - outgoing + incoming;
      incoming = outgoing;
    }
    if (last + 1 < cells) share[last + 1] += incoming;
    else share[last] += incoming;
  }
  return { share, centre, cellsPerSigma: sigma };
}

const eluted = new Map<number, ElutionProfile>();

/** Profile for a loading, computed once for every 3 % of loading: nobody can see the difference, and it is quick. */
function profileFor(loading: number): ElutionProfile {
  const rung = loading < 1e-3 ? -Infinity : Math.round(Math.log(loading) / Math.log(1.03));
  let profile = eluted.get(rung);
  if (profile === undefined) {
    profile = elute(1.03 ** rung);
    eluted.set(rung, profile);
  }
  return profile;
}

/** How the column and its plumbing treat one substance. Times in s. */
export interface BandShape {
  /** Spread of the linear chain. */
  readonly sigma: number;
  /** Well-mixed volume between column and cell. */
  readonly mixing: number;
  /** Sites that let go at two rates: the quick one, the lazy one and the share of the lazy one. */
  readonly quick: number;
  readonly lazy: number;
  readonly lazyShare: number;
  /** Share of the amount that falls into pockets, and their time constant (two in a row). */
  readonly pocketShare: number;
  readonly pocket: number;
}

/** In-place first-order lag of time constant tau on a grid of step dt; keeps the sum. */
function lag(values: Float64Array, dt: number, tau: number): void {
  const keep = Math.exp(-dt / tau);
  let state = 0;
  for (let i = 0; i < values.length; i++) {
    state = keep * state + (1 - keep) * values[i];
    values[i] = state;
  }
}

/** Amount per sample of the grid t = (first + i)·dt, resampled from the chain's cells through its running sum. */
function resample(
  profile: ElutionProfile,
  centre: number,
  sigma: number,
  dt: number,
  first: number,
  out: Float64Array,
) {
  const { share, cellsPerSigma } = profile;
  const perCell = sigma / cellsPerSigma;
  const sums = new Float64Array(share.length + 1);
  for (let i = 0; i < share.length; i++) sums[i + 1] = sums[i] + share[i];
  const slope = (k: number) => (k <= 0 || k >= share.length ? 0 : (share[k - 1] + share[k]) / 2);
  const sumAt = (time: number): number => {
    const x = (time - centre) / perCell + profile.centre + 0.5;
    if (x <= 0) return 0;
    if (x >= share.length) return sums[share.length];
    const k = Math.floor(x);
    const f = x - k;
    const rise = sums[k + 1] - sums[k];
    const a = slope(k) - rise;
    const b = rise - slope(k + 1);
    return sums[k] + f * rise + f * (1 - f) * (a * (1 - f) + b * f);
  };
  let before = sumAt((first - 0.5) * dt);
  for (let i = 0; i < out.length; i++) {
    const after = sumAt((first + i + 0.5) * dt);
    out[i] = after - before;
    before = after;
  }
}

/** One substance as it passes the cell: share of its amount in each sample interval from index `first` on. */
export interface Passage {
  readonly first: number;
  readonly share: Float64Array;
}

/**
 * A pulse after column and plumbing on the detector's grid of step dt (s): chain, then mixing volume, then sites
 * of two rates, then pockets. `centre` (s) is where a linear chain without plumbing would put the peak.
 */
export function passCell(
  centre: number,
  loading: number,
  shape: BandShape,
  dt: number,
  samples: number,
): Passage {
  const { sigma, pocket } = shape;
  const first = Math.max(0, Math.floor((centre - (8 + 4 * loading) * sigma) / dt));
  const last = Math.min(samples - 1, Math.ceil((centre + 9 * sigma + 14 * pocket) / dt));
  const share = new Float64Array(Math.max(0, last - first + 1));
  resample(profileFor(loading), centre, sigma, dt, first, share);
  lag(share, dt, shape.mixing);
  const lazy = share.slice();
  lag(share, dt, shape.quick);
  lag(lazy, dt, shape.lazy);
  for (let i = 0; i < share.length; i++) share[i] += shape.lazyShare * (lazy[i] - share[i]);
  const late = share.slice();
  lag(late, dt, pocket);
  lag(late, dt, pocket);
  for (let i = 0; i < share.length; i++) share[i] += shape.pocketShare * (late[i] - share[i]);
  return { first, share };
}
