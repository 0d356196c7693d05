// One workload in a process of its own, so that its first call is a cold one: node ours.mjs DATA WORKLOAD
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fitEmgCluster } from "../../toolkit/dist/peaks/fitting/emg-cluster.js";
import { arpls } from "../../toolkit/dist/signal/arpls.js";
import { smoothSavitzkyGolay } from "../../toolkit/dist/signal/savitzky-golay.js";
import { measured, monteCarlo } from "../../toolkit/dist/uncertainty/measured.js";
import { batch } from "./batch-workload.mjs";
import { everything, lineAndParabola, standardsOf, sumsOf } from "./calibration-workload.mjs";
import { measuredPeaks } from "./prominent-peaks.mjs";

const [data, name] = process.argv.slice(2);
const manifest = JSON.parse(readFileSync(join(data, "manifest.json"), "utf8"));

function load(file) {
  const bytes = readFileSync(join(data, file));
  return new Float64Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
}

const total = (values) => values.reduce((a, b) => a + b, 0);

function baseline(file) {
  const y = load(file);
  return {
    run: () => arpls(y, 1e6, { tolerance: 1e-3, maxIterations: 50 }),
    check: (r) => ({ iterations: r.iterations, sum_z: total(r.values) }),
  };
}

function smoothing(file) {
  const y = load(file);
  const settings = { window: 21, degree: 3 };
  return {
    run: () => {
      const smooth = smoothSavitzkyGolay(y, settings);
      const slope = smoothSavitzkyGolay(y, { ...settings, derivative: 1, interval: manifest.dt_min });
      return { smooth, slope, peaks: measuredPeaks(smooth, 0.03, 4) };
    },
    check: ({ smooth, slope, peaks }) => ({
      peaks: peaks.length,
      sum_prom: total(peaks.map(({ prominence }) => prominence)),
      sum_width: total(peaks.map(({ width }) => width)),
      sum_smooth: total(smooth),
      max_deriv: slope.reduce((a, b) => Math.max(a, b)),
    }),
  };
}

function fit12() {
  const y = load("fit12.f64");
  const time = Float64Array.from(y, (_, i) => i * manifest.dt_min);
  const starts = peakStarts(manifest.files["fit12.f64"].start, 12);
  return {
    run: () => fitEmgCluster(time, y, starts, { sharedShape: false, backgroundDegree: 1 }),
    check: (r) => ({
      cost: r.residualSumOfSquares / 2,
      sum_area: total(r.peaks.map(({ area }) => area)),
      iterations: r.iterations,
      converged: r.converged,
    }),
  };
}

function windows20() {
  const y = load("windows.f64");
  const starts = manifest.files["windows.f64"].start.map((flat) => peakStarts(flat, 3));
  const points = y.length / starts.length;
  const time = Float64Array.from({ length: points }, (_, i) => i * manifest.dt_min);
  const windows = starts.map((_, w) => y.subarray(w * points, (w + 1) * points));
  return {
    run: () =>
      windows.map((own, w) =>
        fitEmgCluster(time, own, starts[w], { sharedShape: false, backgroundDegree: 1 }),
      ),
    check: (fits) => ({
      cost: total(fits.map((fit) => fit.residualSumOfSquares / 2)),
      sum_area: total(fits.flatMap((fit) => fit.peaks.map(({ area }) => area))),
      evaluations: total(fits.map((fit) => fit.evaluations)),
      failed: fits.filter(({ converged }) => !converged).length,
    }),
  };
}

/** The peer's flat starts (A, μ, σ, τ of each peak, then its background) without what is solved for anyway. */
function peakStarts(flat, peaks) {
  return Array.from({ length: peaks }, (_, k) => {
    const [, mu, sigma, tau] = flat.slice(4 * k, 4 * k + 4);
    return { mu, sigma, tau };
  });
}

function calibrations(work) {
  const standards = standardsOf(load("calib_x.f64"), load("calib_y.f64"), load("calib_unknown.f64"));
  return { run: () => work(standards), check: sumsOf };
}

function trials() {
  const part = (value, halfWidth, shape) => measured(value, "1", { halfWidth, shape });
  const inputs = {
    A: measured(12.4, "1", { u: 0.062 }),
    b0: measured(0.05, "1", { u: 0.02 }, { dof: 6 }),
    b1: measured(2.48, "1", { u: 0.012 }, { dof: 6 }),
    Vf1: part(100, 0.1, "triangular"),
    Vp1: part(10, 0.02, "triangular"),
    Vf2: part(50, 0.06, "triangular"),
    Vp2: part(5, 0.015, "triangular"),
    V: part(0.25, 0.0005, "rectangular"),
    m: part(1, 0.0002, "rectangular"),
  };
  const model = (x) => ((((((x.A - x.b0) / x.b1) * x.Vf1) / x.Vp1) * x.Vf2) / x.Vp2) * (x.V / x.m);
  return {
    run: () => monteCarlo(model, inputs, { trials: 1e6 }),
    check: (r) => ({ mean: r.mean, sd: r.u, lo95: r.shortest.low, hi95: r.shortest.high }),
  };
}

function injections() {
  const records = load("batch60.f64");
  return {
    run: () => batch(records, manifest),
    check: (r) => ({
      sum_conc: total(r.concentrations.flat()),
      peaks: total(r.done.map(({ peaks }) => peaks)),
      arpls_iterations: total(r.done.map(({ iterations }) => iterations)),
      injections_with_failed_fit: r.done.filter(({ converged }) => !converged).length,
    }),
  };
}

const WORKLOADS = {
  arpls_6e3: [() => baseline("chrom_6e3.f64"), 101],
  arpls_1e5: [() => baseline("chrom_1e5.f64"), 15],
  arpls_1e6: [() => baseline("chrom_1e6.f64"), 5],
  smooth_peaks_6e3: [() => smoothing("chrom_6e3.f64"), 201],
  smooth_peaks_1e6: [() => smoothing("chrom_1e6.f64"), 25],
  fit12: [fit12, 31],
  windows20: [windows20, 101],
  calib14: [() => calibrations(lineAndParabola), 201],
  calib14_all: [() => calibrations(everything), 101],
  mc_1e6: [trials, 9],
  batch60: [injections, 5],
};

const [create, runs] = WORKLOADS[name];
const { run, check } = create();
/** A call counts as warm after so many calls and seconds of the same work: by then it is compiled for good. */
const WARM_UP = { calls: 8, seconds: 1 };
let result;
function timed() {
  // As on the other side, what the last call returned is let go before the clock starts.
  result = undefined;
  const before = process.cpuUsage();
  result = run();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
}
const cold = timed();
let spent = cold;
for (let calls = 1; calls < WARM_UP.calls || spent < WARM_UP.seconds; calls++) spent += timed();
const warm = Array.from({ length: runs }, timed).sort((a, b) => a - b);
console.log(
  JSON.stringify({
    workload: name,
    cpu_median_s: warm[warm.length >> 1],
    cpu_min_s: warm[0],
    cold_cpu_s: cold,
    runs,
    check: check(result),
  }),
);
