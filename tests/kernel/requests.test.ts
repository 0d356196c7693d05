// What a front end asks beside running cells, after the Jupyter messaging documentation (protocol 5.4, from memory).
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Client, resultOf, startKernel } from "./client.js";

let kernel: Client;
beforeAll(async () => {
  kernel = await startKernel();
  await kernel.run("0");
}, 30_000);
afterAll(() => kernel?.close());

describe("help while writing", () => {
  const ask = async (type: string, code: string, more: object = {}) =>
    (await kernel.ask(type, { code, cursor_pos: [...code].length, ...more })).reply.content;

  it("completes with kinds, counting characters as the protocol does", async () => {
    const found = await ask("complete_request", 'const s = "😀"; s.toUpp');
    expect(found).toMatchObject({ status: "ok", cursor_start: 17, cursor_end: 22 });
    expect(found.matches).toContain("toUpperCase");
    expect(found.metadata._jupyter_types_experimental[0]).toMatchObject({
      text: "toUpperCase",
      type: "method",
    });
  });

  it("shows type and docstring of the package's own functions, plain and as markdown", async () => {
    const code = 'import { calibrate } from "ionbook"; calibrate(';
    const found = await ask("inspect_request", code);
    expect(found).toMatchObject({ status: "ok", found: true });
    expect(found.data["text/plain"]).toMatch(/calibrate\(points[\s\S]*response curve of a set of standards/);
    expect(found.data["text/markdown"]).toMatch(/^```typescript\n/);
    expect(await ask("inspect_request", "   ")).toMatchObject({ status: "ok", found: false });
  });

  it("tells whole, open and wrong cells apart", async () => {
    expect(await ask("is_complete_request", "const a = 1;")).toEqual({ status: "complete" });
    expect(await ask("is_complete_request", "function f() {")).toMatchObject({
      status: "incomplete",
      indent: "  ",
    });
    expect(await ask("is_complete_request", "const const = 1")).toEqual({ status: "invalid" });
  });

  it("remembers what was run: the end, a range, a pattern", async () => {
    const done = await kernel.run("const remembered = 77;");
    const count = done.reply.content.execution_count;
    const entry = [0, count, "const remembered = 77;"];
    expect((await ask("history_request", "", { hist_access_type: "tail", n: 1 })).history).toEqual([entry]);
    const range = { hist_access_type: "range", session: 0, start: count, stop: count + 1, output: true };
    expect((await ask("history_request", "", range)).history).toEqual([[0, count, [entry[2], null]]]);
    const search = { hist_access_type: "search", pattern: "*remembered*", n: 5 };
    expect((await ask("history_request", "", search)).history).toEqual([entry]);
  });
});

describe("the protocol around it", () => {
  it("says who the kernel is", async () => {
    const { content } = (await kernel.ask("kernel_info_request", {})).reply;
    expect(content).toMatchObject({ status: "ok", protocol_version: "5.4", implementation: "ionbook" });
    expect(content.language_info).toMatchObject({
      name: "typescript",
      file_extension: ".ts",
      mimetype: "text/typescript",
    });
  });

  it("has no comms, and answers an unknown request with an error", async () => {
    expect((await kernel.ask("comm_info_request", {})).reply.content).toEqual({ status: "ok", comms: {} });
    const unknown = await kernel.ask("debug_request", {}, { channel: "control" });
    expect(unknown.reply.type).toBe("debug_reply");
    expect(unknown.reply.content.status).toBe("error");
  });

  it("ignores a message signed with another key", async () => {
    const forged = await kernel.send(
      "execute_request",
      { code: "(globalThis as any).forged = 1" },
      { key: "x" },
    );
    const after = await kernel.run("String((globalThis as any).forged)");
    expect(resultOf(after)?.["text/plain"]).toBe("'undefined'");
    const answered = await Promise.race([
      kernel.answer(forged).then(() => true),
      new Promise((resolve) => setTimeout(resolve, 200, false)),
    ]);
    expect(answered).toBe(false);
  });
});
