import { beforeAll, describe, expect, it } from "vitest";
import { validateLinearRange } from "../../toolkit/calibration/range/linear-range.js";
import { type DisplayBundle, displayOf } from "../../toolkit/display.js";
import { limitLadder } from "../../toolkit/limits/limit-ladder.js";
import { powerCurve } from "../../toolkit/limits/power-curve.js";
import { watchBlanks } from "../../toolkit/limits/watch-blanks.js";
import { registerAllViews } from "../../toolkit/show/register-views.js";
import { nitrite } from "../limits/nitrite.js";

// Nitrite of the handbook [made-up data]; the range is made up here.
const ladder = limitLadder(nitrite);
const range = validateLinearRange(
  [0.05, 0.1, 0.5, 1, 5, 10, 20, 50, 100].map((concentration, j) => ({
    concentration,
    response: 0.245 * concentration * (j === 8 ? 0.91 : 1) * (1 + 0.002 * (-1) ** j),
    retentionTime: j === 8 ? 4.86 : 5,
  })),
  { ion: "Cl-", quantificationLimit: 0.08 },
);

// The same blanks, and higher ones after them.
const watch = watchBlanks({
  ion: "nitrite",
  earlier: (nitrite.blanks ?? []) as readonly number[],
  blanks: [0.0062, 0.0071, 0.0055, 0.0068],
});

const show = async (value: Parameters<typeof displayOf>[0]): Promise<DisplayBundle> => displayOf(value);
const text = (bundle: DisplayBundle, type: string) => String(bundle[type] ?? "");

describe("limits and ranges show themselves", () => {
  beforeAll(registerAllViews);

  it.each([
    ["ladder", ladder],
    ["power curve", powerCurve(ladder)],
    ["linear range", range],
    ["watch on blanks", watch],
  ] as const)("%s: text, table, drawing and specification, without holes", async (_, value) => {
    const bundle = await show(value);
    for (const type of ["text/plain", "text/html", "image/svg+xml", "image/png"])
      expect(text(bundle, type).length).toBeGreaterThan(100);
    expect(bundle["application/vnd.vegalite.v5+json"]).toBeDefined();
    for (const type of ["text/plain", "text/html", "image/svg+xml"])
      expect(/NaN|undefined|\[object/.exec(text(bundle, type))?.[0]).toBeUndefined();
  });

  it("the ladder marks the one in force and names every definition", async () => {
    const bundle = await show(ladder);
    expect(text(bundle, "text/html")).toContain("▸ Currie, mean of the blanks known, by 2t");
    for (const { name } of ladder.rungs)
      expect(text(bundle, "text/html")).toContain(name.replaceAll("'", "&#39;"));
    // All but the counts, which have another unit.
    const drawn = ladder.rungs.filter((rung) => rung.unit === "mg/L" && rung.value !== undefined);
    for (const { name } of drawn) expect(text(bundle, "image/svg+xml")).toContain(name);
    expect(text(bundle, "image/svg+xml")).not.toContain("counting");
  });

  it("what new blanks contradict stands by name in the watch and in the ladder", async () => {
    const shown = text(await show(watch), "text/html");
    expect(shown).toContain("against the limits in force: contradicted");
    const ladderShown = await show(limitLadder({ ...nitrite, newBlanks: [0.0062, 0.0071, 0.0055, 0.0068] }));
    for (const { name } of watch.warnings) {
      expect(shown).toContain(name);
      expect(text(ladderShown, "text/html")).toContain(name);
    }
    expect(text(await show(ladder), "text/html")).not.toContain("blanks-");
  });

  it("an empty ladder shows what it lacks, without a drawing", async () => {
    const bundle = await show(limitLadder({}));
    expect(bundle["image/svg+xml"]).toBeUndefined();
    expect(text(bundle, "text/html")).toContain("there are no blanks; at least 4 are needed");
  });

  it("the range names what set levels aside and what nobody asked", async () => {
    const bundle = await show(range);
    expect(text(bundle, "image/svg+xml")).toContain("overloaded");
    expect(text(bundle, "image/svg+xml")).toContain("below quantification");
    expect(text(bundle, "text/html")).toContain("no level is marked as run both ways");
  });

  it("the power curve names α, critical value and β", async () => {
    const svg = text(await show(powerCurve(ladder)), "image/svg+xml");
    for (const words of ["α = 5", "critical value 0.0021", "β = 5"]) expect(svg).toContain(words);
  });

  it("names and sources from outside stay text", async () => {
    const evil = "<script>alert(1)</script>";
    const bundle = await show(
      limitLadder({ ...nitrite, ion: evil, given: { detectionLimit: 0.01, source: evil } }),
    );
    expect(text(bundle, "text/html")).not.toContain("<script>alert");
    expect(text(bundle, "image/svg+xml")).not.toContain("<script>alert");
  });
});
