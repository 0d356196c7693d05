import { spawnSync } from "node:child_process";

/** The Pythons that may hold Jupyter's packages: the one on the path, and the system's. */
const PYTHONS = ["python3", "/usr/bin/python3"];

/** A Python that can import the modules; undefined where there is none. */
export function pythonWith(...modules: readonly string[]): string | undefined {
  const code = modules.map((name) => `import ${name}`).join("; ");
  return PYTHONS.find((python) => spawnSync(python, ["-c", code]).status === 0);
}
