import { spawnSync } from "node:child_process";
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeEach, describe, expect, it } from "vitest";

const script = fileURLToPath(new URL("../../toolkit/bin/prepare.mjs", import.meta.url));
const scratch = mkdtempSync(join(tmpdir(), "prepare-"));
afterAll(() => rmSync(scratch, { recursive: true }));

// A checkout of nothing but the script, with a package manager and a compiler that only note that they were called.
let checkout = "";
let count = 0;
beforeEach(() => {
  checkout = join(scratch, String(++count));
  write("package.json", JSON.stringify({ engines: { node: ">=18.0.0" } }));
  write("package-lock.json", JSON.stringify(lockOf("1.0.0")));
  write("npm.js", installer("process.exit(0)"));
  mkdirSync(join(checkout, "toolkit", "bin"), { recursive: true });
  copyFileSync(script, join(checkout, "toolkit", "bin", "prepare.mjs"));
});

function lockOf(version: string) {
  return {
    packages: {
      "": { workspaces: ["toolkit"] },
      "node_modules/a": { version, integrity: `sha of ${version}` },
      "node_modules/for-another-system": { version, optional: true },
      toolkit: { version: "0.1.0" },
    },
  };
}

/** Notes its arguments, puts a compiler that notes its own in place, then ends as told. */
function installer(end: string): string {
  const compiler =
    'require("fs").appendFileSync("calls", "tsc " + process.argv.slice(2).join(" ") + "\\\\n")';
  return [
    'const fs = require("fs");',
    'fs.appendFileSync("calls", "npm " + process.argv[2] + "\\n");',
    'fs.mkdirSync("node_modules/typescript/lib", { recursive: true });',
    `fs.writeFileSync("node_modules/typescript/lib/tsc.js", '${compiler}');`,
    end,
  ].join("\n");
}

function write(path: string, text: string): void {
  mkdirSync(dirname(join(checkout, path)), { recursive: true });
  writeFileSync(join(checkout, path), text);
}

function prepare() {
  rmSync(join(checkout, "calls"), { force: true });
  const { status, stdout, stderr } = spawnSync(process.execPath, ["toolkit/bin/prepare.mjs"], {
    cwd: checkout,
    encoding: "utf8",
    env: { ...process.env, npm_execpath: join(checkout, "npm.js") },
  });
  const noted = join(checkout, "calls");
  return {
    status,
    stdout,
    stderr,
    calls: existsSync(noted) ? readFileSync(noted, "utf8").trim().split("\n") : [],
  };
}

describe("making a checkout ready", () => {
  it("installs from the lock file and builds; the second time it only asks the compiler, in silence", () => {
    const first = prepare();
    expect(first).toMatchObject({ status: 0, calls: ["npm ci", "tsc -b toolkit"] });
    expect(first.stdout).toContain("installing packages");
    expect(prepare()).toEqual({ status: 0, stdout: "", stderr: "", calls: ["tsc -b toolkit"] });
  });

  it("installs again when the lock file has changed", () => {
    prepare();
    write("package-lock.json", JSON.stringify(lockOf("1.0.1")));
    expect(prepare().calls).toEqual(["npm ci", "tsc -b toolkit"]);
  });

  it("takes an installation made by hand as it is, unless it is older or lacks a package", () => {
    prepare();
    const stamp = join(checkout, "node_modules", ".ionbook-installed");
    const byHand = (packages: object) => {
      rmSync(stamp, { force: true });
      write("node_modules/.package-lock.json", JSON.stringify({ packages }));
      return prepare().calls;
    };
    const a = lockOf("1.0.0").packages["node_modules/a"];
    expect(byHand({ "node_modules/a": a })).toEqual(["tsc -b toolkit"]);
    expect(byHand({ "node_modules/a": { ...a, version: "0.9.0" } })).toEqual(["npm ci", "tsc -b toolkit"]);
    expect(byHand({})).toEqual(["npm ci", "tsc -b toolkit"]);
  });

  it("says that the installation failed, builds nothing and tries again the next time", () => {
    write("npm.js", installer("process.exit(1)"));
    const failed = prepare();
    expect(failed).toMatchObject({ status: 1, calls: ["npm ci"] });
    expect(failed.stderr).toMatch(/^The installation failed\. .+\n$/);
    write("npm.js", installer("process.exit(0)"));
    expect(prepare()).toMatchObject({ status: 0, calls: ["npm ci", "tsc -b toolkit"] });
  });

  it("says that the build failed", () => {
    prepare();
    write("node_modules/typescript/lib/tsc.js", "process.exit(2)");
    expect(prepare()).toMatchObject({ status: 1, stderr: expect.stringContaining("The build failed") });
  });

  it("names the versions of Node that fit when this one does not", () => {
    const [major, minor] = process.versions.node.split(".").map(Number) as [number, number];
    const asking = (node: string) => {
      write("package.json", JSON.stringify({ engines: { node } }));
      return prepare();
    };
    for (const node of [`^${major}.${minor + 1}.0`, `^${major - 1}.0.0`, `>=${major + 1}.0.0`]) {
      expect(asking(node)).toMatchObject({ status: 1, calls: [], stderr: expect.stringContaining(node) });
    }
    for (const node of [`^${major}.${minor}.0`, `^18.0.0 || >=${major - 1}.99.0`]) {
      expect(asking(node).status).toBe(0);
    }
  });
});
