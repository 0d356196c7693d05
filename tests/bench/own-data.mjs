// Data of the kind peer/generate.py makes, for a machine without Python: same ions, baseline and levels, other noise.
// Invented throughout.
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { createRandom } from "../../toolkit/dist/numeric/random.js";
import { emg } from "../../toolkit/dist/peaks/shape/emg.js";

const DT = 1 / 300;
const N = 6000;
const LEVELS = [0.1, 0.2, 0.5, 1, 2, 4, 7, 10];
const IONS = [
  [3.1, 0.06, 0.03, 0.42, 0.02],
  [3.38, 0.065, 0.035, 0.11, 0.06],
  [3.72, 0.07, 0.035, 0.17, 0.05],
  [4.9, 0.075, 0.04, 0.15, 0.03],
  [5.25, 0.078, 0.04, 0.09, 0.02],
  [6.6, 0.08, 0.05, 0.31, 0.02],
  [8, 0.09, 0.05, 0.2, 0.04],
  [9.6, 0.1, 0.06, 0.12, 0.02],
  [10.02, 0.105, 0.06, 0.13, 0.02],
  [10.75, 0.11, 0.065, 0.17, 0.02],
  [12.6, 0.13, 0.09, 0.06, 0.12],
  [14.6, 0.12, 0.07, 0.23, 0.02],
  [15.2, 0.13, 0.08, 0.15, 0.04],
  [17.6, 0.15, 0.1, 0.09, 0.07],
].map(([tR, sigma, tau, sens, curv]) => ({ tR, sigma, tau, sens, curv }));
const WINDOWS = [
  [2.55, 4.25, [0, 1, 2]],
  [4.4, 5.9, [3, 4]],
  [6, 7.4, [5]],
  [7.4, 8.8, [6]],
  [9, 11.7, [7, 8, 9]],
  [11.8, 13.7, [10]],
  [13.9, 16.3, [11, 12]],
  [16.7, 19.1, [13]],
];

function injection(amounts, random, white = 0.0028) {
  return Float64Array.from({ length: N }, (_, i) => {
    const t = i * DT;
    const base = 0.8 + 0.01 * t + 0.6 / (1 + Math.exp(-(t - 11) / 2.2));
    const dip = -1.5 * Math.exp(-((t - 1.45) ** 2) / (2 * 0.06 ** 2));
    const peaks = IONS.reduce((sum, { tR, sigma, tau, sens, curv }, j) => {
      const c = amounts[j];
      return sum + sens * c * (1 - (curv * c) / 10) * emg(t, tR, sigma, tau);
    }, 0);
    return base + dip + peaks + white * random.normal();
  });
}

function joined(parts, length) {
  const out = new Float64Array(length);
  parts.forEach((part, k) => {
    out.set(part.subarray(0, Math.min(N, length - k * N)), k * N);
  });
  return out;
}

function overlapped(random) {
  const truth = Array.from({ length: 12 }, (_, k) => [
    1 + 3 * random.uniform(),
    3.6 + 1.03 * k,
    0.17 + 0.012 * k,
    0.1 + 0.006 * k,
  ]);
  const y = Float64Array.from({ length: N }, (_, i) => {
    const t = i * DT;
    const peaks = truth.reduce((sum, [a, mu, s, tau]) => sum + a * emg(t, mu, s, tau), 0);
    return 0.9 + 0.012 * t + peaks + 0.004 * random.normal();
  });
  const start = truth.flatMap(([a, mu, s, tau]) => [a, mu + 0.4 * tau, 1.1 * s, 0.8 * tau]);
  return { y, start: [...start, 0.85, 0.01] };
}

function narrowWindow(random) {
  const truth = Array.from({ length: 3 }, (_, k) => [
    0.15 + random.uniform(),
    0.32 + 0.26 * k,
    0.055 + 0.02 * random.uniform(),
    0.025 + 0.03 * random.uniform(),
  ]);
  const y = Float64Array.from({ length: 400 }, (_, i) => {
    const t = i * DT;
    return truth.reduce(
      (sum, [a, ...shape]) => sum + a * emg(t, ...shape),
      0.5 + 0.02 * t + 0.003 * random.normal(),
    );
  });
  const start = truth.flatMap(([a, mu, s, tau]) => [a, mu + 0.4 * tau, 1.1 * s, 0.8 * tau]);
  return { y, start: [...start, 0.48, 0] };
}

/** Eight levels three times, and 36 unknowns, of each ion. */
function putStandards(put, random) {
  const x = Float64Array.from({ length: 3 * LEVELS.length }, (_, i) => LEVELS[Math.floor(i / 3)]);
  const area = ({ sens, curv }, c) => sens * c * (1 - (curv * c) / 10);
  const read = (ion, c) => area(ion, c) * (1 + 0.01 * random.normal()) + 0.002 * random.normal();
  const unknown = () => 0.3 + 8.7 * random.uniform();
  put("calib_x.f64", x);
  put("calib_y.f64", Float64Array.from(IONS.flatMap((ion) => Array.from(x, (c) => read(ion, c)))));
  const unknowns = IONS.flatMap((ion) => Array.from({ length: 36 }, () => read(ion, unknown())));
  put("calib_unknown.f64", Float64Array.from(unknowns));
}

export function writeData(folder) {
  const random = createRandom(1);
  const put = (name, values) => writeFileSync(join(folder, name), new Uint8Array(values.buffer));
  const amounts = () => IONS.map(() => 0.3 + 8.7 * random.uniform() ** 2);
  put("chrom_6e3.f64", injection(amounts(), random));
  const many = Array.from({ length: Math.ceil(1e6 / N) }, () => injection(amounts(), random));
  put("chrom_1e5.f64", joined(many.slice(0, 17), 1e5));
  put("chrom_1e6.f64", joined(many, 1e6));
  const { y, start } = overlapped(random);
  put("fit12.f64", y);
  const batch = Array.from({ length: 60 }, (_, i) =>
    injection(i < 24 ? IONS.map(() => LEVELS[Math.floor(i / 3)]) : amounts(), random),
  );
  put("batch60.f64", joined(batch, 60 * N));
  putStandards(put, random);
  const windows = Array.from({ length: 20 }, () => narrowWindow(random));
  put("windows.f64", Float64Array.from(windows.flatMap((window) => [...window.y])));
  const files = {
    "fit12.f64": { start },
    "windows.f64": { start: windows.map((window) => window.start) },
    "batch60.f64": { windows: WINDOWS },
  };
  writeFileSync(
    join(folder, "manifest.json"),
    JSON.stringify({ dt_min: DT, levels: LEVELS, ions: IONS, files }),
  );
}
