// Every kind of work without an end can be stopped, and the kernel goes on with all its variables.
import { spawn } from "node:child_process";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Client, resultOf, startKernel } from "./client.js";

let kernel: Client;
/** Interrupted before its first cell has run; afterwards shut down. */
let second: Client | undefined;
beforeAll(async () => {
  kernel = await startKernel();
  await kernel.run("const kept = 42;");
}, 60_000);
afterAll(async () => {
  await kernel?.close();
  await second?.close();
});

const pause = (milliseconds: number) => new Promise((resolve) => setTimeout(resolve, milliseconds));

const ENDLESS: readonly (readonly [string, string])[] = [
  ["a loop", "while (true) {}"],
  ["a loop after an await", "await Promise.resolve();\nwhile (true) {}"],
  ["a promise that never settles", "await new Promise(() => {})"],
  ["a long wait", "await new Promise((resolve) => setTimeout(resolve, 1e8))"],
  ["a loop in a timer", "setTimeout(() => { while (true) {} }, 0); await new Promise(() => {})"],
  ["a pattern that backtracks for ever", "/^(a+)+$/.test('a'.repeat(60) + 'b')"],
  [
    "microtasks without end",
    "const spin = (): void => void Promise.resolve().then(spin); spin(); await new Promise(() => {})",
  ],
  [
    "a library call that is busy after an await",
    "await Promise.resolve(); [3, 1, 2].sort(() => { for (;;); })",
  ],
];

describe("an interrupt ends", () => {
  it.each(ENDLESS)("%s, and the next cell works", async (_, code) => {
    const id = await kernel.send("execute_request", { code });
    await kernel.wait((each) => each.type === "execute_input" && each.parent === id);
    await pause(150);
    const answered = await kernel.ask("interrupt_request", {}, { channel: "control" });
    expect(answered.reply.content.status).toBe("ok");
    const done = await kernel.answer(id);
    expect(done.reply.content).toMatchObject({ status: "error", ename: "KeyboardInterrupt" });
    expect(resultOf(await kernel.run("kept"))?.["text/plain"]).toBe("42");
  });

  it("a loop when it comes on the shell channel, as some front ends send it", async () => {
    const id = await kernel.send("execute_request", { code: "while (true) {}" });
    await kernel.wait((each) => each.type === "execute_input" && each.parent === id);
    await pause(150);
    await kernel.ask("interrupt_request", {});
    expect((await kernel.answer(id)).reply.content.ename).toBe("KeyboardInterrupt");
  });
});

describe("an interrupt during the type check of a cell", () => {
  it("keeps it from running", async () => {
    second = await startKernel();
    const own = second;
    // The first cell of a kernel waits for its compiler, far longer than the interrupt takes to come; the two
    // channels are not ordered between them, so the interrupt is sent once the cell is known to have come in.
    const id = await own.send("execute_request", { code: "console.log('ran')" });
    await own.wait((each) => each.type === "execute_input" && each.parent === id);
    await own.ask("interrupt_request", {}, { channel: "control" });
    const done = await own.answer(id);
    expect(done.reply.content).toMatchObject({ status: "error", ename: "KeyboardInterrupt" });
    expect(done.published.map((each) => each.type)).not.toContain("stream");
    expect(resultOf(await own.run("1 + 1"))?.["text/plain"]).toBe("2");
  });
});

describe("while a cell is busy", () => {
  it("heartbeat, completion and output go on", async () => {
    const code = 'console.log("live"); while (true) {}';
    const id = await kernel.send("execute_request", { code });
    await kernel.wait(
      (each) => each.type === "stream" && each.parent === id && each.content.text === "live\n",
    );
    expect(await kernel.heartbeat()).toBe("beat");
    const { reply } = await kernel.ask("complete_request", { code: "kep", cursor_pos: 3 });
    expect(reply.content.matches).toContain("kept");
    await kernel.ask("interrupt_request", {}, { channel: "control" });
    expect((await kernel.answer(id)).reply.content.status).toBe("error");
  });
});

describe("a kernel ends", () => {
  it.each([true, false])("cleanly on shutdown (restart: %s), also from a busy cell", async (restart) => {
    // The kernels of the tests above: how one ends does not depend on what it did before.
    const own = restart && second !== undefined ? second : kernel;
    const id = await own.send("execute_request", { code: restart ? "while (true) {}" : "1" });
    await own.wait((each) => each.type === "execute_input" && each.parent === id);
    if (!restart) await own.answer(id);
    const { reply } = await own.ask("shutdown_request", { restart }, { channel: "control" });
    expect(reply.content).toEqual({ status: "ok", restart });
    expect(await own.ended).toEqual({ code: 0, signal: null });
  });

  it("when the front end that started it is gone", async () => {
    const frontEnd = spawn(process.execPath, ["-e", "setTimeout(() => {}, 1e6)"]);
    const own = await startKernel(undefined, { ...process.env, JPY_PARENT_PID: String(frontEnd.pid) });
    frontEnd.kill("SIGKILL");
    expect((await own.ended).code).toBe(0);
    await own.close();
  });
});
