import { describe, expect, it } from "vitest";
import { quantify } from "../../toolkit/batch/quantify/quantify.js";
import { openBatch } from "../../toolkit/batch/reading/open-batch.js";
import { ion } from "../../toolkit/ions/ion-table.js";
import { DEMO_FOLDER, demoResults } from "./demo-results.js";

// The road-salt batch is invented; its cell follows published limiting conductivities, so right standards agree with theory.

describe("slopes of a batch against theory", () => {
  it.each(["anion", "cation"] as const)(
    "agree on the %s channel where the standards are right",
    async (channel) => {
      const check = (await demoResults()).slopeCheck(channel);
      const method = (await demoResults()).batches.find((batch) => batch.method.channel === channel)?.method;
      expect(check.ions.map((each) => each.ion)).toEqual(method?.ions.map((each) => each.ion));
      expect(check.passed).toBe(true);
    },
  );

  it("name the ion whose standards were entered as nitrogen", async () => {
    const anions = await openBatch(`${DEMO_FOLDER}anions`);
    const share = ion("nitrate").molarMass / 14.007;
    const solutions = anions.solutions.map((row) =>
      row.ion === "nitrate"
        ? { ...row, concentration: row.concentration / share, u: row.u / share, uStock: row.uStock / share }
        : row,
    );
    const check = (await quantify({ ...anions, solutions })).slopeCheck();
    expect(check.ions.filter((each) => !each.passed).map((each) => each.ion)).toEqual(["nitrate"]);
    expect(check.ions.find((each) => each.ion === "nitrate")?.likely).toMatch(/as N/);
  }, 60_000);

  it("ask for a channel where there are two, and refuse one that is not there", async () => {
    const results = await demoResults();
    expect(() => results.slopeCheck()).toThrow(expect.objectContaining({ code: "no-channel" }));
    expect(() => results.slopeCheck("anions" as never)).toThrow(
      expect.objectContaining({ code: "no-channel" }),
    );
    expect(() => results.slopeCheck("anion", { lop: 20 } as never)).toThrow(
      expect.objectContaining({ code: "unknown-option" }),
    );
  });
});
