// Every result that asks for its view must get one. The kinds are read from the sources, so that a new one is not forgotten.
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { displayOf } from "../../toolkit/display.js";
import { registerAllViews } from "../../toolkit/show/register-views.js";

const TOOLKIT = fileURLToPath(new URL("../../toolkit/", import.meta.url));

/** Kinds of the files that call `displayOf`, or `shown`, which does. */
function shownKinds(): readonly string[] {
  const files = readdirSync(TOOLKIT, { recursive: true, encoding: "utf8" }).filter(
    (file) => file.endsWith(".ts") && !/^(dist|show)[\\/]|^display\.ts$/.test(file),
  );
  const kinds = files.flatMap((file) => {
    const text = readFileSync(`${TOOLKIT}${file}`, "utf8");
    if (!/\b(displayOf|shown)\(/.test(text)) return [];
    return [...text.matchAll(/\bkind(?::| =) "([a-z-]+)"/g)].map(([, kind]) => kind);
  });
  return [...new Set(kinds)].sort();
}

describe("results that show themselves", () => {
  const kinds = shownKinds();

  it("are found in the sources of many rooms", () => {
    expect(kinds.length).toBeGreaterThan(35);
    expect(kinds).toEqual(expect.arrayContaining(["calibration", "figure-trend", "slope-check", "noise"]));
  });

  it.each(kinds)("%s has a view", async (kind) => {
    registerAllViews();
    const empty = { kind, toString: () => "words" };
    const shown = displayOf(empty);
    // A registered view loads what draws it, so it takes its time, and then fails on a result without figures.
    expect(shown, `${kind} has no view in toolkit/show/register-views.ts`).toBeInstanceOf(Promise);
    await Promise.resolve(shown).catch(() => undefined);
  });
});
