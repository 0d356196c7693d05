import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { RunOutputs } from "../../toolkit/notebook/run/outputs.js";

const stream = (text: string, name = "stdout") => ({ type: "stream", content: { name, text } });
const display = (plain: string, id?: string) => ({
  type: "display_data",
  content: { data: { "text/plain": plain }, metadata: {}, ...(id && { transient: { display_id: id } }) },
});
const update = (plain: string, id: string) => ({ ...display(plain, id), type: "update_display_data" });
const clear = (wait: boolean) => ({ type: "clear_output", content: { wait } });

function collect(...published: readonly Parameters<ReturnType<RunOutputs["nextCell"]>["take"]>[0][]) {
  const cell = new RunOutputs().nextCell();
  for (const each of published) cell.take(each);
  return cell.collected();
}

describe("the outputs of a cell", () => {
  it("join neighbouring texts of one stream and no others", () => {
    expect(collect(stream("a"), stream("b\n"), stream("c", "stderr"), stream("d"))).toEqual([
      { output_type: "stream", name: "stdout", text: "ab\n" },
      { output_type: "stream", name: "stderr", text: "c" },
      { output_type: "stream", name: "stdout", text: "d" },
    ]);
  });

  it("are the same text however a stream is cut, and never two neighbours of one stream", () => {
    const piece = fc.record({ name: fc.constantFrom("stdout", "stderr"), text: fc.string() });
    fc.assert(
      fc.property(fc.array(piece), (pieces) => {
        const found = collect(...pieces.map(({ name, text }) => stream(text, name)));
        for (const name of ["stdout", "stderr"]) {
          const text = found
            .map((x) => (x.output_type === "stream" && x.name === name ? x.text : ""))
            .join("");
          expect(text).toBe(pieces.map((x) => (x.name === name ? x.text : "")).join(""));
        }
        const names = found.map((x) => (x.output_type === "stream" ? x.name : ""));
        expect(names.some((name, i) => i > 0 && name === names[i - 1])).toBe(false);
      }),
      { seed: 1 },
    );
  });

  it("hold result, display and error in the order in which they came", () => {
    const result = { data: { "text/plain": "2" }, metadata: { a: 1 }, execution_count: 7 };
    const error = { ename: "Error", evalue: "no", traceback: ["at 1"] };
    expect(
      collect(display("x"), { type: "execute_result", content: result }, { type: "error", content: error }),
    ).toEqual([
      { output_type: "display_data", data: { "text/plain": "x" }, metadata: {} },
      { output_type: "execute_result", ...result },
      { output_type: "error", ...error },
    ]);
  });

  it("take no notice of what is no output", () => {
    expect(collect({ type: "status", content: { execution_state: "busy" } })).toEqual([]);
  });

  it("clear at once, or with the next output so that nothing flickers", () => {
    expect(collect(stream("a"), clear(false))).toEqual([]);
    expect(collect(stream("a"), clear(true))).toMatchObject([{ text: "a" }]);
    expect(collect(stream("a"), clear(true), stream("b"))).toMatchObject([{ text: "b" }]);
    expect(collect(display("a"), clear(true), display("b"))).toMatchObject([{ data: { "text/plain": "b" } }]);
  });

  it("change every display of one id, also from a later cell", () => {
    const run = new RunOutputs();
    const first = run.nextCell();
    first.take(display("old", "x"));
    first.take(display("old", "x"));
    first.take(display("other", "y"));
    const second = run.nextCell();
    second.take(update("new", "x"));
    second.take(update("never shown", "z"));
    expect(second.collected()).toEqual([]);
    expect(first.collected()).toMatchObject(
      ["new", "new", "other"].map((plain) => ({ data: { "text/plain": plain } })),
    );
  });
});
