// A notebook in a folder with no installation around it, beside files of its own.
import { mkdtempSync, realpathSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Client, errorOf, resultOf, startKernel } from "./client.js";

const folder = realpathSync(mkdtempSync(join(tmpdir(), "ionbook-elsewhere-")));
let kernel: Client;
beforeAll(async () => {
  writeFileSync(
    join(folder, "helper.ts"),
    "export function twice(n: number): number {\n  if (n < 0) throw new Error('negative');\n  return 2 * n;\n}\n",
  );
  writeFileSync(join(folder, "data.csv"), "a\n1\n");
  kernel = await startKernel(folder);
}, 30_000);
afterAll(async () => {
  await kernel?.close();
  rmSync(folder, { recursive: true, force: true });
});

const plain = async (code: string) => {
  const done = await kernel.run(code);
  return resultOf(done)?.["text/plain"] ?? errorOf(done)?.traceback.join("\n");
};

describe("a notebook outside every installation", () => {
  it("finds the package with its types, by import and by import()", async () => {
    expect(await plain('import { ion } from "ionbook";\nion("chloride").charge')).toBe("-1");
    expect(await plain('ion("chloride").nonsense')).toContain("Property 'nonsense' does not exist");
    expect(await plain('(await import("ionbook")).ion === ion')).toBe("true");
  });

  it("imports a TypeScript file beside it, types included", async () => {
    expect(await plain('import { twice } from "./helper";\ntwice(21)')).toBe("42");
    expect(await plain('twice("x")')).toContain("not assignable to parameter of type 'number'");
  });

  it("reads files beside it by their relative names, and says which", async () => {
    const done = await kernel.run('import fs from "node:fs";\nfs.readFileSync("data.csv", "utf8")');
    expect(resultOf(done)?.["text/plain"]).toBe("'a\\n1\\n'");
    expect(done.reply.metadata.ionbook.filesRead).toEqual([join(folder, "data.csv")]);
  });
});
