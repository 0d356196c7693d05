// Makes a checkout ready to run: installs from the lock file when needed, then builds. Plain JavaScript on Node's
// own modules, because it runs before anything is installed. The second time it does nothing and says nothing.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = join(dirname(fileURLToPath(import.meta.url)), "..", "..");
const lockFile = join(root, "package-lock.json");
const stamp = join(root, "node_modules", ".ionbook-installed");

checkNode();
install();
build();

/** Understands the two forms that `engines` uses: ^20.19.0 (that major only) and >=22.12.0. */
function checkNode() {
  const wanted = readJson(join(root, "package.json")).engines.node;
  const [major, minor] = process.versions.node.split(".").map(Number);
  const ok = wanted.split("||").some((range) => {
    const [, sign, lowMajor, lowMinor] = /(\^|>=)(\d+)\.(\d+)/.exec(range) ?? [];
    if (major === Number(lowMajor)) return minor >= Number(lowMinor);
    return sign === ">=" && major > Number(lowMajor);
  });
  if (!ok)
    fail(`Node ${process.versions.node} does not fit: Ionbook needs Node ${wanted}. Install such a one.`);
}

function install() {
  const lock = createHash("sha256").update(readFileSync(lockFile)).digest("hex");
  if (existsSync(stamp) && readFileSync(stamp, "utf8") === lock) return;
  if (!installedByHand()) {
    console.log("installing packages from the lock file (the first time only) …");
    const npm = process.env.npm_execpath;
    const args = ["ci", "--no-audit", "--no-fund", "--no-update-notifier", "--loglevel=error"];
    const status = npm?.endsWith(".js") ? run(process.execPath, [npm, ...args]) : run("npm", args);
    if (status !== 0)
      fail("The installation failed. Is the package registry reachable? Try `npm ci` for the full message.");
  }
  writeFileSync(stamp, lock);
}

/** Whether npm's own record of node_modules, which it writes last, already holds all that the lock file asks for. */
function installedByHand() {
  const record = join(root, "node_modules", ".package-lock.json");
  if (!existsSync(record)) return false;
  const installed = readJson(record).packages;
  return Object.entries(readJson(lockFile).packages).every(([path, wanted]) => {
    const found = installed[path];
    if (!found) return wanted.optional === true || !path.startsWith("node_modules/");
    return found.version === wanted.version && found.integrity === wanted.integrity;
  });
}

function build() {
  const compiler = join(root, "node_modules", "typescript", "lib", "tsc.js");
  if (run(process.execPath, [compiler, "-b", "toolkit"]) !== 0) {
    fail("The build failed: the messages above name file and line.");
  }
}

function run(command, args) {
  return spawnSync(command, args, { cwd: root, stdio: "inherit" }).status ?? 1;
}

function readJson(path) {
  return JSON.parse(readFileSync(path, "utf8"));
}

function fail(message) {
  console.error(message);
  process.exit(1);
}
