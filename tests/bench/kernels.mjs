// How long a notebook makes its user wait, our kernel beside the Python kernel, both through the same client in the
// same run: npm run bench. Elapsed time, because that is what is waited for.
import { spawnSync } from "node:child_process";
import { kernelSpec } from "../../toolkit/dist/kernel/kernelspec.js";
import { KernelClient } from "../../toolkit/dist/notebook/client/kernel-client.js";
import { TEN_CELLS, TRIVIAL } from "./kernel-cells.mjs";

/** The Pythons that may hold the Python kernel: the one on the path, and the system's. */
const PYTHONS = ["python3", "/usr/bin/python3"];
const STARTS = 5;
const TRIVIAL_CELLS = 30;
const WARM_NOTEBOOKS = 5;

const median = (numbers) => numbers.toSorted((a, b) => a - b)[Math.floor(numbers.length / 2)];

async function timed(work) {
  const begin = performance.now();
  const value = await work();
  return { value, seconds: (performance.now() - begin) / 1000 };
}

/** Runs one cell and returns its result as text; a failing cell ends the race. */
async function resultOf(client, code) {
  let result;
  const { content } = await client.execute(code, {
    onPublished: ({ header, content: published }) => {
      if (header.msg_type === "execute_result") result = published.data["text/plain"];
    },
  });
  if (content.status !== "ok")
    throw new Error(`a cell of the race failed: ${content.ename}: ${content.evalue}`);
  return result;
}

async function notebook(client, cells) {
  let last;
  for (const cell of cells) last = await resultOf(client, cell);
  return last;
}

/** The figures of one kernel: cold is the first process of the run, warm the median of what follows. */
async function measure(spec, trivial, cells) {
  const ready = [];
  const first = [];
  const freshNotebook = [];
  let again = [];
  let small = [];
  let answer;
  for (let run = 0; run < STARTS; run++) {
    const begin = performance.now();
    const since = () => (performance.now() - begin) / 1000;
    const client = await KernelClient.start(spec, { cwd: process.cwd(), startTimeoutSeconds: 60 });
    try {
      ready.push(since());
      await resultOf(client, trivial);
      first.push(since());
      const fresh = await timed(() => notebook(client, cells));
      freshNotebook.push(fresh.seconds);
      answer = fresh.value;
      if (run < STARTS - 1) continue;
      again = await repeated(WARM_NOTEBOOKS, () => notebook(client, cells));
      small = await repeated(TRIVIAL_CELLS, () => resultOf(client, trivial));
    } finally {
      await client.shutdown();
    }
  }
  const coldAndWarm = (times) => ({ cold: times[0], warm: median(times.slice(1)) });
  return {
    answer,
    ready: coldAndWarm(ready),
    first: coldAndWarm(first),
    trivial: { cold: small[0], warm: median(small.slice(1)) },
    // Cold: in a kernel that has just started; warm: once more in the same kernel.
    notebook: { cold: median(freshNotebook), warm: median(again) },
  };
}

async function repeated(times, work) {
  const seconds = [];
  for (let i = 0; i < times; i++) seconds.push((await timed(work)).seconds);
  return seconds;
}

const ROWS = [
  ["ready", "kernel ready after its start"],
  ["first", "first result after the start"],
  ["trivial", `trivial cell (${TRIVIAL_CELLS})`],
  ["notebook", "notebook of ten cells"],
];

function show(seconds) {
  return seconds === undefined
    ? "-"
    : seconds < 1
      ? `${(1000 * seconds).toFixed(0)} ms`
      : `${seconds.toFixed(2)} s`;
}

function row([title, ...cells]) {
  console.log(title.padEnd(40) + cells.map((cell) => cell.padStart(12)).join(""));
}

function peerSpec() {
  for (const python of PYTHONS) {
    const code =
      "import ipykernel, platform; print(ipykernel.__version__, 'on Python', platform.python_version())";
    const asked = spawnSync(python, ["-c", code], { encoding: "utf8" });
    if (asked.status !== 0) continue;
    console.log(`Peer: ipykernel ${asked.stdout.trim()}. Ours: Node ${process.versions.node}.`);
    const argv = [python, "-m", "ipykernel_launcher", "-f", "{connection_file}"];
    return { argv, display_name: "Python 3", language: "python" };
  }
  console.log("The Python kernel is missing: our kernel's times alone.");
  return undefined;
}

const unquoted = (text) => text?.replace(/^['"]|['"]$/g, "");

/** Prints the table; false where the two kernels did not do the same work. */
export async function raceKernels() {
  const spec = peerSpec();
  const peer = spec && (await measure(spec, TRIVIAL.peer, TEN_CELLS.peer));
  const ours = await measure(kernelSpec(), TRIVIAL.ours, TEN_CELLS.ours);
  row(["Elapsed time", "ours", "ours cold", "peer", "peer cold", "peer/ours"]);
  for (const [key, title] of ROWS) {
    const [own, other] = [ours[key], peer?.[key]];
    const ratio = other ? (other.warm / own.warm).toFixed(1) : "-";
    row([title, show(own.warm), show(own.cold), show(other?.warm), show(other?.cold), ratio]);
  }
  if (!peer) return true;
  const same = unquoted(ours.answer) === unquoted(peer.answer);
  console.log(`    ${same ? "agrees" : "DIFFERS"}  last result: ours ${ours.answer}, peer ${peer.answer}`);
  return same;
}
