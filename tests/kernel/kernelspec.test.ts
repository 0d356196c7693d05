import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, describe, expect, it, vi } from "vitest";
import { installKernelspec, kernelSpec } from "../../toolkit/kernel/kernelspec.js";

const folder = mkdtempSync(join(tmpdir(), "ionbook-spec-"));
afterEach(() => vi.unstubAllEnvs());
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("the kernelspec", () => {
  it("is written where it is asked for, whole, and again over an older one", () => {
    for (const _ of ["first", "again"]) {
      const place = installKernelspec({ dataDir: folder });
      expect(place).toBe(join(folder, "kernels", "ionbook"));
      expect(readdirSync(place)).toEqual(["kernel.json"]);
      expect(JSON.parse(readFileSync(join(place, "kernel.json"), "utf8"))).toEqual(kernelSpec());
    }
  });

  it("goes into $JUPYTER_DATA_DIR where that is set", () => {
    vi.stubEnv("JUPYTER_DATA_DIR", join(folder, "data"));
    expect(installKernelspec()).toBe(join(folder, "data", "kernels", "ionbook"));
  });

  it.runIf(process.platform === "linux")("follows XDG_DATA_HOME on Linux", () => {
    vi.stubEnv("JUPYTER_DATA_DIR", "");
    vi.stubEnv("XDG_DATA_HOME", join(folder, "xdg"));
    expect(installKernelspec()).toBe(join(folder, "xdg", "jupyter", "kernels", "ionbook"));
  });

  it("starts this very Node without a shell and asks for interrupts by message", () => {
    const { argv, interrupt_mode, language } = kernelSpec();
    expect(argv[0]).toBe(process.execPath);
    expect(argv.slice(-2)).toEqual(["--config", "{connection_file}"]);
    expect([interrupt_mode, language]).toEqual(["message", "typescript"]);
  });
});
