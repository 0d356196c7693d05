// (f) 60 injections to concentrations: the steps of peer/bench_batch.py, composed of pieces of the toolkit.
import { fitPolynomial } from "../../toolkit/dist/numeric/fit-polynomial.js";
import { fitEmgCluster } from "../../toolkit/dist/peaks/fitting/emg-cluster.js";
import { arpls } from "../../toolkit/dist/signal/arpls.js";
import { smoothSavitzkyGolay } from "../../toolkit/dist/signal/savitzky-golay.js";
import { prominentPeaks } from "./prominent-peaks.mjs";

const POINTS = 6000;
const VOID = 600;
const STANDARDS = 24;
const INJECTIONS = 60;

export function batch(records, manifest) {
  const time = Float64Array.from({ length: POINTS }, (_, i) => i * manifest.dt_min);
  const done = Array.from({ length: INJECTIONS }, (_, i) =>
    injection(records.subarray(i * POINTS, (i + 1) * POINTS), time, manifest),
  );
  return { concentrations: concentrations(done, manifest), done };
}

function injection(y, time, { dt_min: dt, ions, files }) {
  const { values, iterations } = arpls(y.subarray(VOID), 1e6, { tolerance: 1e-3, maxIterations: 50 });
  const x = new Float64Array(POINTS);
  for (let i = VOID; i < POINTS; i++) x[i] = y[i] - values[i - VOID];
  const smooth = smoothSavitzkyGolay(x, { window: 21, degree: 3 });
  const peaks = prominentPeaks(smooth, 0.01, 4);
  const areas = new Float64Array(ions.length);
  let converged = true;
  for (const [from, to, members] of files["batch60.f64"].windows) {
    const [a, b] = [Math.round(from / dt), Math.round(to / dt)];
    const starts = members.map((j) => startOf(ions[j], peaks, smooth, dt));
    const options = { sharedShape: false, backgroundDegree: 1 };
    const fit = fitEmgCluster(time.subarray(a, b), x.subarray(a, b), starts, options);
    converged &&= fit.converged;
    fit.peaks.forEach(({ area }, k) => {
      areas[members[k]] = area;
    });
  }
  return { areas, peaks: peaks.length, iterations, converged };
}

function startOf({ tR, sigma, tau }, peaks, smooth, dt) {
  const expected = tR + 0.6 * tau;
  let top = -1;
  for (const p of peaks) {
    if (Math.abs(p * dt - expected) < 0.09 && (top < 0 || smooth[p] > smooth[top])) top = p;
  }
  if (top < 0) top = Math.round(expected / dt);
  return { mu: top * dt - 0.6 * tau, sigma, tau };
}

/** Weighted quadratic calibrations (weights 1/x) and their inverse for the 36 samples. */
function concentrations(done, { levels, ions }) {
  const x = levels.flatMap((level) => [level, level, level]);
  const standardDeviations = x.map(Math.sqrt);
  return ions.map((_, j) => {
    const y = done.slice(0, STANDARDS).map(({ areas }) => areas[j]);
    const [b0, b1, b2] = fitPolynomial(x, y, 2, { standardDeviations }).coefficients;
    return done
      .slice(STANDARDS)
      .map(({ areas }) => (-b1 + Math.sqrt(Math.max(0, b1 * b1 - 4 * b2 * (b0 - areas[j])))) / (2 * b2));
  });
}
