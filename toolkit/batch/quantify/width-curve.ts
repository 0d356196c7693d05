/** How wide a peak is at a retention time: standard deviation, min, interpolated between the peaks of the standards. */
export interface WidthCurve {
  at(time: number): number;
  readonly widest: number;
}

/**
 * Piecewise linear width curve through (time, standard deviation) pairs, held level outside them; each knot is
 * the median of the pairs within 2 % of its time, so that one odd peak does not bend it.
 *
 * @param pairs min, min; at least one
 */
export function widthCurve(pairs: readonly { readonly time: number; readonly sigma: number }[]): WidthCurve {
  const sorted = [...pairs].sort((a, b) => a.time - b.time);
  const knots: { time: number; sigma: number }[] = [];
  let group: { time: number; sigma: number }[] = [];
  const close = () => {
    if (group.length === 0) return;
    const sigmas = group.map((g) => g.sigma).sort((a, b) => a - b);
    const time = group.reduce((sum, g) => sum + g.time, 0) / group.length;
    knots.push({ time, sigma: sigmas[sigmas.length >> 1] });
    group = [];
  };
  for (const pair of sorted) {
    if (group.length > 0 && pair.time > 1.02 * group[0].time) close();
    group.push(pair);
  }
  close();
  return {
    widest: Math.max(...knots.map((k) => k.sigma)),
    at(time) {
      let k = 0;
      while (k < knots.length - 2 && time > knots[k + 1].time) k++;
      const a = knots[k];
      const b = knots[Math.min(k + 1, knots.length - 1)];
      const part = b.time > a.time ? Math.min(Math.max((time - a.time) / (b.time - a.time), 0), 1) : 0;
      return a.sigma + part * (b.sigma - a.sigma);
    },
  };
}
