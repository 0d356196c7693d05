// What a kernel must say, message by message, after the Jupyter messaging documentation (protocol 5.4, from memory).
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Client, errorOf, resultOf, startKernel, streamText } from "./client.js";

const folder = mkdtempSync(join(tmpdir(), "ionbook-messages-"));
let kernel: Client;
beforeAll(async () => {
  kernel = await startKernel();
  await kernel.run("0");
}, 60_000);
afterAll(async () => {
  await kernel?.close();
  rmSync(folder, { recursive: true, force: true });
});

const typesOf = (answered: Awaited<ReturnType<Client["run"]>>) => answered.published.map((each) => each.type);
const plain = (answered: Awaited<ReturnType<Client["run"]>>) => resultOf(answered)?.["text/plain"];

describe("a cell that runs", () => {
  it("is told of as busy, input, output, result, idle, in that order", async () => {
    const done = await kernel.run('console.log("in between"); 6 * 7');
    expect(typesOf(done)).toEqual(["status", "execute_input", "stream", "execute_result", "status"]);
    expect(done.published[0].content.execution_state).toBe("busy");
    expect(done.published.at(-1)?.content.execution_state).toBe("idle");
    expect(plain(done)).toBe("42");
    expect(done.reply.content).toMatchObject({ status: "ok", user_expressions: {}, payload: [] });
  });

  it("counts up by one, the same number in input, result and reply", async () => {
    const first = await kernel.run("1");
    const second = await kernel.run("2");
    const count = first.reply.content.execution_count;
    expect(second.reply.content.execution_count).toBe(count + 1);
    const numbered = second.published.filter((each) => "execution_count" in each.content);
    expect(numbered.map((each) => each.content.execution_count)).toEqual([count + 1, count + 1]);
  });

  it("does not count when silent, and publishes nothing but its state", async () => {
    const { execution_count: before } = (await kernel.run("1")).reply.content;
    const silent = await kernel.run('console.log("hidden"); 5', { silent: true });
    expect(typesOf(silent)).toEqual(["status", "status"]);
    expect(silent.reply.content).toMatchObject({ status: "ok", execution_count: before });
  });

  it("gives no result for undefined, awaits a promise, quotes text, knows maps and typed arrays", async () => {
    expect(resultOf(await kernel.run("undefined"))).toBeUndefined();
    expect(plain(await kernel.run("Promise.resolve(7)"))).toBe("7");
    expect(plain(await kernel.run('"text"'))).toBe("'text'");
    expect(plain(await kernel.run('new Map([["chloride", 35.45]])'))).toBe("Map(1) { 'chloride' => 35.45 }");
    expect(plain(await kernel.run("new Float64Array([1, 2])"))).toBe("Float64Array(2) [ 1, 2 ]");
  });

  it("shares its names: functions see what later cells assign, and short forms of objects work", async () => {
    await kernel.run("let level = 1; const unit = 'mg/L'; function read() { return level; }");
    expect(plain(await kernel.run("level = 10; read()"))).toBe("10");
    expect(plain(await kernel.run("({ level, unit })"))).toBe("{ level: 10, unit: 'mg/L' }");
    expect(plain(await kernel.run("const level = 'new'; level"))).toBe("'new'");
  });

  it("evaluates user expressions, each for itself", async () => {
    const done = await kernel.run("const twelve = 12;", {
      user_expressions: { good: "twelve * 2", bad: "nothing" },
    });
    const { good, bad } = done.reply.content.user_expressions;
    expect(good).toEqual({ status: "ok", data: { "text/plain": "24" }, metadata: {} });
    expect(bad).toMatchObject({ status: "error", ename: "TypeScriptError" });
  });

  it("keeps the order of both streams and sends thousands of lines in few messages", async () => {
    const mixed = await kernel.run('console.log("a"); console.error("b"); console.log("c");');
    const streams = mixed.published.filter((each) => each.type === "stream");
    expect(streams.map(({ content }) => [content.name, content.text])).toEqual([
      ["stdout", "a\n"],
      ["stderr", "b\n"],
      ["stdout", "c\n"],
    ]);
    const lines = await kernel.run("for (let i = 0; i < 30_000; i++) console.log(i)");
    const expected = Array.from({ length: 30_000 }, (_, i) => `${i}\n`).join("");
    expect(streamText(lines)).toBe(expected);
    expect(typesOf(lines).length).toBeLessThan(1000);
  });
});

describe("a cell that fails", () => {
  it("is not run where types do not fit; line, code and underline are those of the cell", async () => {
    const done = await kernel.run('console.log("not run");\n\nconst area: number = "large";');
    expect(done.reply.content).toMatchObject({ status: "error", ename: "TypeScriptError" });
    const text = errorOf(done)?.traceback.join("\n");
    expect(text).toContain("Type 'string' is not assignable to type 'number'.");
    expect(text).toMatch(/line 3, column 7\n.*→ 3 │ const area: number = "large";\n +│ {7}~~~~(\n|$)/);
    expect(done.reply.metadata.ionbook.failedAt).toEqual({ line: 3, column: 7 });
    expect(streamText(done)).toBe("");
  });

  it.each([
    ["at once", "interface Row { a: number }\nconst row = undefined as unknown as Row;\nrow.a;", 3],
    [
      "after an await",
      "const missing: any = null;\nawait new Promise((r) => setTimeout(r, 5));\n\nmissing.x",
      4,
    ],
  ])("%s names its own line", async (_, code, line) => {
    const done = await kernel.run(code);
    expect(errorOf(done)?.ename).toBe("TypeError");
    expect(done.reply.metadata.ionbook.failedAt.line).toBe(line);
    expect(errorOf(done)?.traceback.join("\n")).toContain(
      `In[${done.reply.content.execution_count}], line ${line}`,
    );
  });

  it("in a function of an earlier cell shows that line first, then the call", async () => {
    const made = await kernel.run('\nfunction divide(n: number) {\n  throw new RangeError("no " + n);\n}');
    const done = await kernel.run("1;\ndivide(3);");
    const [definition, call] = [made, done].map((each) => each.reply.content.execution_count);
    const text = errorOf(done)?.traceback.join("\n") ?? "";
    expect(text).toMatch(
      new RegExp(`RangeError: no 3\n.*In\\[${definition}\\], line 3[\\s\\S]*In\\[${call}\\], line 2`),
    );
    expect(text).not.toMatch(/node:|dist|kernel/);
    expect(done.reply.metadata.ionbook.failedAt).toEqual({ line: 2, column: 1 });
  });

  it("with advice of the package shows the advice and the calling line alone", async () => {
    const done = await kernel.run('import { ion } from "ionbook";\nion("chlorid");');
    const error = errorOf(done);
    expect(error?.ename).toBe("IonbookError");
    expect(error?.traceback[0]).toBe(`IonbookError: ${error?.evalue}`);
    expect(error?.traceback[1]).toMatch(/In\[\d+\], line 2/);
    expect(error?.traceback.join("\n")).not.toContain("dist");
  });

  it("names the cause", async () => {
    const done = await kernel.run('throw new Error("outer", { cause: new Error("inner") });');
    expect(errorOf(done)?.traceback.join("\n")).toMatch(/Error: outer[\s\S]*Caused by: Error: inner/);
  });

  it("sends the waiting cells back, unless it was asked not to", async () => {
    const codes = ["1", 'throw new Error("stop")', "2", "3"];
    const run = async (stop: boolean) => {
      const ids: string[] = [];
      for (const code of codes) ids.push(await kernel.send("execute_request", { code, stop_on_error: stop }));
      const answers = await Promise.all(ids.map((id) => kernel.answer(id)));
      return answers.map((each) => each.reply.content.status);
    };
    expect(await run(true)).toEqual(["ok", "error", "aborted", "aborted"]);
    expect(await run(false)).toEqual(["ok", "error", "ok", "ok"]);
  });

  it("does not end the process by process.exit, also where the call is swallowed", async () => {
    const done = await kernel.run("try { process.exit(3); } catch {}\n5");
    expect(errorOf(done)?.ename).toBe("ExitRefused");
    expect(plain(await kernel.run("1 + 1"))).toBe("2");
  });

  it("in a forgotten promise or a timer is told of in stderr, and the process lives", async () => {
    const forgotten = await kernel.run('Promise.reject(new Error("lost")); 5');
    expect(forgotten.reply.content.status).toBe("ok");
    expect(streamText(forgotten, "stderr")).toMatch(/Error: lost[\s\S]*line 1/);
    const timer = await kernel.run(
      'setTimeout(() => { throw new Error("late") }, 1); await new Promise((r) => setTimeout(r, 50));',
    );
    expect(streamText(timer, "stderr")).toMatch(/Error: late[\s\S]*line 1/);
  });
});

describe("what is shown", () => {
  it("is what a value says of itself, also later; a failing method leaves plain text and a message", async () => {
    const shown = await kernel.run(
      'const own = { async [Symbol.for("Jupyter.display")]() { return { "text/html": "<i>own</i>" }; } }; own',
    );
    expect(resultOf(shown)?.["text/html"]).toBe("<i>own</i>");
    expect(resultOf(shown)).toHaveProperty("text/plain");
    const broken = await kernel.run(
      'const broken = { a: 1, [Symbol.for("Jupyter.display")]() { throw new Error("no picture"); } }; broken',
    );
    expect(broken.reply.content.status).toBe("ok");
    expect(plain(broken)).toContain("a: 1");
    expect(streamText(broken, "stderr")).toContain("no picture");
  });

  it("of a table is a table, 60 rows at most and the number of the hidden ones", async () => {
    const done = await kernel.run(
      'import { DataFrame } from "danfojs-node";\nnew DataFrame(Array.from({ length: 75 }, (_, i) => [i, "<" + i + ">"]), { columns: ["n", "name"] })',
    );
    const html = String(resultOf(done)?.["text/html"]);
    expect(html.match(/<tr>/g)?.length).toBe(61);
    expect(html).toContain("15 of 75 rows are not shown");
    expect(html).not.toContain("<0>");
  });

  it("of a chart's description is the chart, of PNG bytes the picture", async () => {
    const chart = await kernel.run(
      '({ $schema: "https://vega.github.io/schema/vega-lite/v6.json", mark: "bar" })',
    );
    expect(resultOf(chart)?.["application/vnd.vegalite.v6+json"]).toMatchObject({ mark: "bar" });
    const picture = await kernel.run("new Uint8Array([0x89, 0x50, 0x4e, 0x47, 1])");
    expect(resultOf(picture)?.["image/png"]).toBe("iVBORwE=");
  });

  it("in the middle of a cell comes from tslab's display, and can be replaced", async () => {
    const done = await kernel.run(
      'import { display, newDisplay } from "tslab";\ndisplay.html("<b>x</b>");\nconst place = newDisplay();\nplace.text("one");\nplace.text("two");',
    );
    const shown = done.published.filter((each) => each.type.includes("display"));
    expect(shown.map(({ type, content }) => [type, content.data])).toEqual([
      ["display_data", { "text/html": "<b>x</b>" }],
      ["display_data", { "text/plain": "one" }],
      ["update_display_data", { "text/plain": "two" }],
    ]);
    const [, one, two] = shown.map((each) => each.content.transient.display_id);
    expect(one).toBeTruthy();
    expect(two).toBe(one);
  });

  it("can be cleared, at once or when something new comes", async () => {
    const code = 'const clear = (globalThis as any)[Symbol.for("ionbook.clear")]; clear(); clear(true);';
    const cleared = (await kernel.run(code)).published.filter((each) => each.type === "clear_output");
    expect(cleared.map((each) => each.content)).toEqual([{ wait: false }, { wait: true }]);
  });

  it("comes from anything that knows the kernel's symbol", async () => {
    const done = await kernel.run(
      '(globalThis as any)[Symbol.for("ionbook.display")]({ "text/plain": "half" }, { displayId: "p" });',
    );
    const shown = done.published.find((each) => each.type === "display_data");
    expect(shown?.content).toMatchObject({
      data: { "text/plain": "half" },
      transient: { display_id: "p" },
    });
  });
});

describe("evidence of a cell", () => {
  const data = join(folder, "peaks.csv");
  beforeAll(() => writeFileSync(data, "a,b\n"));

  it.each([
    ["readFileSync", 'import { readFileSync } from "node:fs"; readFileSync(FILE, "utf8");'],
    ["readFile", 'import { readFile } from "node:fs/promises"; await readFile(FILE);'],
    ["open", 'import { open } from "node:fs/promises"; const h = await open(FILE); await h.close();'],
    [
      "a stream",
      'import { createReadStream } from "node:fs"; for await (const part of createReadStream(FILE)) void part;',
    ],
  ])("names a file read by %s, once", async (_, code) => {
    const body = code.replace("FILE", JSON.stringify(data));
    const wrapped = body.includes("for await")
      ? body.replace(/; (for await.*)$/, "; async function all() { $1 }\nawait all();")
      : body;
    const done = await kernel.run(wrapped);
    expect(done.reply.content.status, JSON.stringify(errorOf(done))).toBe("ok");
    expect(done.reply.metadata.ionbook.filesRead).toEqual([data]);
    expect((await kernel.run("1")).reply.metadata.ionbook.filesRead).toEqual([]);
  });

  it("leaves out modules and what the notebook wrote itself, and carries seeds and versions", async () => {
    const own = join(folder, "own.txt");
    const done = await kernel.run(
      `import fs from "node:fs"; import { DataFrame } from "danfojs-node";\nfs.writeFileSync(${JSON.stringify(own)}, "x"); fs.readFileSync(${JSON.stringify(own)});\n(globalThis as any)[Symbol.for("ionbook.evidence")]({ kind: "seed", seed: 3, purpose: "trial" });`,
    );
    const { filesRead, seeds, versions } = done.reply.metadata.ionbook;
    expect(filesRead).toEqual([]);
    expect(seeds).toEqual([{ seed: 3, purpose: "trial" }]);
    expect(Object.keys(versions).sort()).toEqual(["ionbook", "node", "tslab", "typescript"]);
    expect(versions.node).toBe(process.versions.node);
  });
});
