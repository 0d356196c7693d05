// What proves that both sides did the same work: figure by figure, within the tolerances the comparison was fixed with.
const relative = (limit) => (ours, peer) => Math.abs(ours / peer - 1) <= limit;
const absolute = (limit) => (ours, peer) => Math.abs(ours - peer) <= limit;
const equal = absolute(0);
/** Both sides are random here: five standard deviations of one mean, sd within 0.5 %. */
const sameMean = (ours, peer, { sd }) => Math.abs(ours - peer) <= (5 * sd) / Math.sqrt(1e6);

const SMOOTHING = {
  peaks: equal,
  sum_prom: relative(1e-10),
  sum_width: relative(1e-10),
  sum_smooth: relative(1e-10),
  max_deriv: relative(1e-10),
};

const LINES = { sum_x0_linear: relative(1e-10), sum_half_linear: relative(1e-10) };

const RULES = {
  arpls_6e3: { iterations: equal, sum_z: relative(1e-7) },
  arpls_1e5: { iterations: equal, sum_z: relative(1e-7) },
  arpls_1e6: { iterations: equal, sum_z: relative(1e-7) },
  smooth_peaks_6e3: SMOOTHING,
  smooth_peaks_1e6: SMOOTHING,
  fit12: { cost: relative(1e-8), sum_area: relative(1e-7) },
  windows20: { cost: relative(1e-8), sum_area: relative(1e-7) },
  calib14: { ...LINES, sum_x0_quad: relative(1e-10), sum_half_quad: relative(1e-10) },
  calib14_all: LINES,
  mc_1e6: { mean: sameMean, sd: relative(5e-3), lo95: absolute(0.04), hi95: absolute(0.04) },
  batch60: { sum_conc: relative(2e-4), peaks: equal, arpls_iterations: equal },
};

/** Names of the figures, each with both values and whether they agree. */
export function compare(workload, ours, peer) {
  return Object.entries(RULES[workload]).map(([figure, agrees]) => ({
    figure,
    ours: ours[figure],
    peer: peer[figure],
    agrees: agrees(ours[figure], peer[figure], peer),
  }));
}
