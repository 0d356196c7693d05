// Our times beside those of the SciPy forms of the same work, measured in the same run: npm run bench
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { compare } from "./agreement.mjs";
import { raceKernels } from "./kernels.mjs";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const python = (args) =>
  spawnSync("python3", args, {
    encoding: "utf8",
    maxBuffer: 1 << 26,
    env: { ...process.env, PYTHONDONTWRITEBYTECODE: "1" },
  });

/** Each peer line: the form most notebooks hold, and the best form found, which sets the ratio. */
const WORKLOADS = [
  { name: "arpls_6e3", title: "(a) arPLS baseline, 6 000 points", script: "baseline" },
  { name: "arpls_1e5", title: "(a) arPLS baseline, 100 000 points", script: "baseline" },
  { name: "arpls_1e6", title: "(a) arPLS baseline, 1 000 000 points", script: "baseline" },
  { name: "smooth_peaks_6e3", title: "(b) smoothing, slope, peaks, 6 000", script: "smooth" },
  { name: "smooth_peaks_1e6", title: "(b) smoothing, slope, peaks, 1 000 000", script: "smooth" },
  { name: "fit12", usual: "fit12_numeric", title: "(c) 12-peak EMG fit", script: "fit" },
  { name: "windows20", usual: "windows20_numeric", title: "(c) 20 windows of 3 EMG peaks", script: "fit" },
  {
    name: "calib14",
    usual: "calib14_scalar",
    title: "(d) 14 ions: line, parabola, unknowns",
    script: "calib",
  },
  {
    name: "calib14_all",
    usual: "calib14_all_scalar",
    title: "(d) all models, tests, limits; peer: line",
    script: "calib",
  },
  { name: "mc_1e6", usual: "mc_1e6_sort", title: "(e) Monte Carlo, 10⁶ trials, 9 inputs", script: "mc" },
  { name: "batch60", usual: "batch60_numeric", title: "(f) batch of 60 injections", script: "batch" },
];

/** Those named on the command line, or all. */
const names = process.argv.slice(2);
const asked = names.length === 0 ? WORKLOADS : WORKLOADS.filter(({ name }) => names.includes(name));
if (asked.length < names.length) {
  console.error(`Workloads are ${WORKLOADS.map(({ name }) => name).join(", ")}`);
  process.exit(2);
}

function missingPeer() {
  const asked = python(["-c", "import numpy, scipy; print(numpy.__version__, scipy.__version__)"]);
  if (asked.error) return "Python (python3) is missing";
  if (asked.status !== 0) return "Python is here, but SciPy or NumPy is missing";
  const [numpy, scipy] = asked.stdout.trim().split(" ");
  console.log(
    `Peer: python3 with NumPy ${numpy}, SciPy ${scipy}, one thread. Ours: Node ${process.versions.node}.`,
  );
  return undefined;
}

function linesOf(script, data) {
  const { status, stdout, stderr } = python([here(`peer/${script}.py`), "--data", data]);
  if (status !== 0) throw new Error(`peer/${script}.py failed:\n${stderr}`);
  return stdout
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line));
}

function oursOf(name, data) {
  const text = execFileSync(process.execPath, [here("ours.mjs"), data, name], { encoding: "utf8" });
  return JSON.parse(text);
}

const seconds = (s) =>
  s === undefined ? "-" : s < 0.1 ? `${(1000 * s).toFixed(2)} ms` : `${s.toFixed(3)} s`;

function row(cells) {
  const [title, ...rest] = cells;
  console.log(title.padEnd(40) + rest.map((cell) => cell.padStart(12)).join(""));
}

function report({ name, usual, title }, ours, peers) {
  const best = peers?.get(name);
  const common = peers?.get(usual ?? name);
  row([
    title,
    seconds(ours.cpu_median_s),
    seconds(ours.cold_cpu_s),
    seconds(best?.cpu_median_s),
    seconds(best?.cold_cpu_s),
    seconds(common?.cpu_median_s),
    best ? `${(best.cpu_median_s / ours.cpu_median_s).toFixed(1)}` : "-",
    common ? `${(common.cpu_median_s / ours.cpu_median_s).toFixed(1)}` : "-",
  ]);
  if (!best) return true;
  const figures = compare(name, ours.check, best.check);
  for (const { figure, ours: a, peer: b, agrees } of figures) {
    console.log(`    ${agrees ? "agrees" : "DIFFERS"}  ${figure}: ours ${a}, peer ${b}`);
  }
  return figures.every(({ agrees }) => agrees);
}

const HEADINGS = [
  "Median processor time",
  "ours",
  "ours cold",
  "peer best",
  "peer cold",
  "peer usual",
  "best/ours",
  "usual/ours",
];

function withPeer(data) {
  linesOf("generate", data);
  const peers = new Map();
  const done = new Set();
  row(HEADINGS);
  let agreed = true;
  for (const work of asked) {
    if (!done.has(work.script)) {
      for (const line of linesOf(`bench_${work.script}`, data)) peers.set(line.workload, line);
      done.add(work.script);
    }
    agreed = report(work, oursOf(work.name, data), peers) && agreed;
  }
  console.log(
    agreed ? "Equal work: every figure agrees." : "The figures differ: the times compare different work.",
  );
  return agreed;
}

async function alone(data, missing) {
  console.log(
    `${missing}: our times alone, no comparison. The data are made here, without the peer's generator.`,
  );
  const { writeData } = await import("./own-data.mjs");
  writeData(data);
  row(HEADINGS);
  for (const work of asked) report(work, oursOf(work.name, data), undefined);
  return true;
}

const data = mkdtempSync(join(tmpdir(), "bench-"));
try {
  const missing = missingPeer();
  const computed = missing ? await alone(data, missing) : withPeer(data);
  if (names.length === 0) console.log("");
  const kernels = names.length > 0 || (await raceKernels());
  process.exitCode = computed && kernels ? 0 : 1;
} finally {
  rmSync(data, { recursive: true, force: true });
}
