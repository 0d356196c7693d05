// Makes a checkout ready to run: installs from the lock file when needed, then builds. Plain JavaScript on Node's
// own modules, because it runs before anything is installed. The second time it does nothing and says nothing.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = join(dirname(fileURLToPath(import.meta.url)), "..", "..");
const stamp = join(root, "node_modules", ".ionbook-installed");

checkNode();
install();
build();

function checkNode() {
  const [major, minor] = process.versions.node.split(".").map(Number);
  const ok = (major === 20 && minor >= 19) || (major === 22 && minor >= 12) || major > 22;
  if (!ok)
    fail(`Node ${process.versions.node} is too old: Ionbook needs Node 20.19 or later, or 22.12 or later.`);
}

function install() {
  const lock = createHash("sha256")
    .update(readFileSync(join(root, "package-lock.json")))
    .digest("hex");
  if (existsSync(stamp) && readFileSync(stamp, "utf8") === lock) return;
  console.log("installing packages from the lock file (the first time only) …");
  const npm = process.env.npm_execpath;
  const args = ["ci", "--no-audit", "--no-fund", "--loglevel=error"];
  const done = npm?.endsWith(".js") ? run(process.execPath, [npm, ...args]) : run("npm", args);
  if (done !== 0)
    fail("The installation failed. Is the package registry reachable? Try `npm ci` for the full message.");
  writeFileSync(stamp, lock);
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

function fail(message) {
  console.error(message);
  process.exit(1);
}
