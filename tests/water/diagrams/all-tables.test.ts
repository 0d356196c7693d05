import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { balanceBars } from "../../../toolkit/water/diagrams/balance-bars.js";
import { balanceSeries } from "../../../toolkit/water/diagrams/balance-series.js";
import { piperDiagram } from "../../../toolkit/water/diagrams/piper-diagram.js";
import { schoellerDiagram } from "../../../toolkit/water/diagrams/schoeller-diagram.js";
import { stiffDiagram } from "../../../toolkit/water/diagrams/stiff-diagram.js";
import { openPublishedWaters } from "../../../toolkit/water/published/published-waters.js";

// Real tables, each with its source in its README; their columns bear names of every kind, "alkalinity" and "pH" too.
const TABLES = readdirSync("datasets").filter((name) => existsSync(join("datasets", name, "columns.json")));

it("every published table that comes with the package is among them", () => expect(TABLES).toHaveLength(5));

it.each(TABLES)("every diagram draws every water of %s, or says why not", async (name) => {
  const { waters } = await openPublishedWaters(join("datasets", name));
  // Shapes and bars of hundreds are for nobody to look at; the first dozen bear the same names.
  const dozen = waters.slice(0, 12);
  expect(piperDiagram(waters).points).toHaveLength(waters.length);
  expect(stiffDiagram(dozen).polygons).toHaveLength(dozen.length);
  expect(schoellerDiagram(dozen).lines).toHaveLength(dozen.length);
  const named = piperDiagram(dozen).points.map((point) => point.name);
  for (const { drawn, notes } of [
    { drawn: balanceBars(dozen).pairs, notes: balanceBars(dozen).notes },
    { drawn: balanceSeries(dozen).points, notes: balanceSeries(dozen).notes },
  ]) {
    const absent = named.filter((each) => !drawn.some((one) => one.name === each));
    expect(drawn.length + absent.length).toBe(dozen.length);
    for (const each of absent) expect(notes.join(" ")).toMatch(new RegExp(`Left out, .*${each}`));
  }
});
