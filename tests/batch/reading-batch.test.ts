import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { openBatch } from "../../toolkit/batch/reading/open-batch.js";
import { requireCalibration } from "../../toolkit/batch/reading/require-calibration.js";
import { type BatchFiles, edit, folderOf, inventedBatch, inventedSignal } from "./invented-batch.js";
import { refusalOf } from "./refusal.js";

// The batches here are invented: they show what a folder may look like.

const opened = (change: (files: BatchFiles) => void = () => {}) => {
  const files = inventedBatch();
  change(files);
  return openBatch(folderOf(files));
};

const remarks = async (change: (files: BatchFiles) => void): Promise<string> =>
  (await opened(change)).noticed.map(({ where, what }) => `${where}: ${what}`).join("\n");

describe("the method in batch.json", () => {
  it("has IUPAC names and the defaults of an expert", async () => {
    const { method } = await opened();
    expect(method.ions).toEqual([
      { ion: "chloride", retentionTime: 4.1, window: 0.25, model: "quadratic", weighting: "1/x^2" },
      { ion: "nitrate", retentionTime: 6.5, window: 0.3, model: "linear", weighting: "1/x" },
    ]);
    expect(method.from).toBeCloseTo(1.6, 12);
    expect(method.to).toBe(10);
    expect(method.notMeasured).toEqual(["hydrogencarbonate"]);
    expect(method.eluent?.program[2]).toEqual([9, 45]);
  });

  it("keeps what it does not know, of the batch, the eluent and an ion", async () => {
    const { method } = await opened((files) => {
      edit(
        files,
        "batch.json",
        '"remark": "invented",',
        '"remark": "invented", "column lot": 17, "flow": 0.38,',
      );
      edit(files, "batch.json", '"kind": "hydroxide",', '"kind": "hydroxide", "generated": true,');
      edit(files, "batch.json", '"window": 0.25,', '"window": 0.25, "colour": "red",');
    });
    expect(method.other).toEqual({
      remark: "invented",
      "column lot": 17,
      flow: 0.38,
      "eluent.generated": true,
      "Cl-.colour": "red",
    });
  });

  it("evaluates to the end of the record and from where it says", async () => {
    const { method } = await opened((files) => edit(files, "batch.json", '"to": 10,', '"from": 2,'));
    expect(method.to).toBeUndefined();
    expect(method.from).toBe(2);
  });
});

describe("the worksheet", () => {
  it("keeps the order of the rows, quoted commas, dilutions and parents", async () => {
    const { injections } = await opened();
    expect(injections.map((injection) => injection.id)).toEqual([
      "A1",
      "A2",
      "A3",
      "A4",
      "A5",
      "A6",
      "A7",
      "A8",
    ]);
    expect(injections[4]).toMatchObject({
      kind: "sample",
      solution: "well",
      dilution: 10,
      uDilution: 0.02,
      remark: "north, deep",
      line: 6,
    });
    expect(injections[5]).toMatchObject({ kind: "duplicate", parent: "A5", uDilution: 0.02 });
    expect(injections[0]).toMatchObject({ solution: "", uDilution: 0, parent: undefined });
  });

  it("may have its columns in any order, more of them, blank rows, and titles in capitals", async () => {
    const { injections } = await opened((files) => {
      const rows = (files.get("worksheet.csv") as string).trimEnd().split("\n");
      const turned = rows.map((row, i) => {
        const cells = row.replace('"north, deep"', "north").split(",").reverse();
        return [i === 0 ? "Vial" : `V${i}`, ...cells].join(",");
      });
      turned[0] = turned[0].replace("dilution,solution", "Dilution,SOLUTION");
      turned.splice(3, 0, ",,,,,,,,,");
      files.set("worksheet.csv", `\uFEFF${turned.join("\r\n")}\r\n`);
    });
    expect(injections.length).toBe(8);
    expect(injections[4]).toMatchObject({ id: "A5", dilution: 10, other: { Vial: "V5" }, line: 7 });
  });

  it("may be separated by semicolons with decimal commas", async () => {
    const { injections, solutions } = await opened((files) => {
      for (const file of ["worksheet.csv", "solutions.csv"]) {
        const text = (files.get(file) as string).replace('"north, deep"', "north");
        files.set(file, text.replaceAll(",", ";").replaceAll(/(\d)\.(\d)/g, "$1,$2"));
      }
    });
    expect(injections[4].uDilution).toBe(0.02);
    expect(solutions[0]).toMatchObject({ concentration: 0.5, u: 0.004 });
  });

  it("may write paths with backslashes", async () => {
    const { injections } = await opened((files) => edit(files, "worksheet.csv", "signals/A1", "signals\\A1"));
    expect(injections[0].signal).toBe("signals/A1.csv");
  });
});

describe("solutions.csv", () => {
  it("is converted to mg/L, value, u and the stock's part alike", async () => {
    const { solutions } = await opened();
    const nitrate = solutions.filter((entry) => entry.ion === "nitrate");
    // NO3-N to NO3: 4.427 (JOB stage 1; 62.004/14.007 of the IUPAC 2021 atomic weights), printed to 4 digits
    expect(nitrate[0].concentration).toBeCloseTo(0.4427, 4);
    expect(nitrate[0].u / nitrate[0].concentration).toBeCloseTo(0.01, 12);
    expect(nitrate[1].concentration).toBeCloseTo(4, 12);
    expect(nitrate[1].u).toBeCloseTo(0.02, 14);
    expect(nitrate[1].uStock).toBeCloseTo(0.015, 15);
  });

  it("gives all of u to a named stock where u_stock is blank, and none of it where no stock is named", async () => {
    const { solutions } = await opened();
    expect(solutions[1].uStock).toBe(solutions[1].u);
    expect(solutions[2]).toMatchObject({ stock: undefined, uStock: 0, u: 0.03 });
  });

  it("takes a value without u as exact, and says so", async () => {
    const change = (files: BatchFiles): void => edit(files, "solutions.csv", "2,mg/L,0.02", "2,mg/L,");
    expect((await opened(change)).solutions[4].u).toBe(0);
    expect(await remarks(change)).toMatch(/solutions.csv: line 6: no standard uncertainty .* "check"/);
  });
});

describe("samples.csv", () => {
  it("says how each sample was prepared and what was measured besides", async () => {
    const { samples } = await opened();
    expect(samples[0]).toMatchObject({
      sample: "well",
      preparation: "direct",
      unit: "mg/L",
      pH: 7.2,
      conductivity: 512,
      temperature: 9.5,
      alkalinity: 180,
      massGrams: undefined,
      other: { site: "north" },
    });
    expect(samples[1]).toMatchObject({
      preparation: "extract",
      massGrams: 5,
      uMassGrams: 0.002,
      volumeMilliliters: 100,
      uVolumeMilliliters: 0.1,
      dryFraction: 0.276,
      unit: "mg/kg dry",
      pH: undefined,
    });
  });

  it("reports a direct sample in mg/L and an extract in mg/kg where the unit is blank", async () => {
    const { samples } = await opened((files) => {
      edit(files, "samples.csv", "mg/kg dry", "");
      edit(files, "samples.csv", "180,mg/L,", "180,,");
    });
    expect(samples.map((sample) => sample.unit)).toEqual(["mg/L", "mg/kg"]);
  });
});

describe("an opened batch", () => {
  it("has the chromatogram of every injection under its id, with the channel", async () => {
    const { chromatograms } = await opened();
    expect(chromatograms.size).toBe(8);
    const third = chromatograms.get("A3");
    expect(third).toMatchObject({ id: "A3", channel: "anion", signalUnit: "µS/cm" });
    expect(third?.signal[123]).toBeCloseTo(0.8 + 0.041 + 1 + 3 / 7, 5);
  });

  it("lists every file it read with the SHA-256 of its bytes", async () => {
    const { files, folder } = await opened();
    expect(files.map(({ path }) => path).sort()).toEqual([...inventedBatch().keys()].sort());
    for (const { path, sha256 } of files) {
      expect(sha256).toBe(
        createHash("sha256")
          .update(readFileSync(join(folder, path)))
          .digest("hex"),
      );
    }
  });

  it("says what it is in one line, also to a notebook", async () => {
    const batch = await opened();
    expect(String(batch)).toBe(
      'batch "Invented wells", anion channel (chloride, nitrate): 8 injections (1 blank, 2 calibration, ' +
        "1 continuing check, 2 sample, 1 duplicate, 1 matrix spike)",
    );
    const show = (batch as unknown as Record<symbol, () => unknown>)[Symbol.for("Jupyter.display")];
    expect(await show.call(batch)).toMatchObject({ "text/plain": String(batch) });
  });

  it("has nothing noticed where nothing is strange", async () => {
    expect((await opened()).noticed).toEqual([]);
  });

  it("needs neither solutions.csv nor samples.csv where the worksheet names nothing in them", async () => {
    const explore = (files: BatchFiles): void => {
      edit(files, "worksheet.csv", /A2,[\s\S]*$/, "");
      files.delete("solutions.csv");
      files.delete("samples.csv");
    };
    const batch = await opened(explore);
    expect(batch.injections.length).toBe(1);
    expect(batch.solutions).toEqual([]);
    expect(batch.samples).toEqual([]);
  });
});

describe("what is noticed without stopping anything", () => {
  it("injections out of the order of time", async () => {
    const seen = await remarks((files) => edit(files, "worksheet.csv", "T08:45:00Z", "T07:45:00Z"));
    expect(seen).toMatch(/worksheet.csv: line 5: "A4" was injected before "A3"/);
  });

  it("the same record under two names", async () => {
    const seen = await remarks((files) => files.set("signals/A6.csv", inventedSignal(5)));
    expect(seen).toMatch(/line 7: "A6" has the very same record as "A5"/);
  });

  it("a saturated record and an uneven one, under the file's name", async () => {
    const seen = await remarks((files) => {
      const cut = inventedSignal(4).replace(/,(?:1\.[2-9]|2\.)\d*/g, ",1.20000");
      files.set("signals/A4.csv", cut);
      edit(files, "signals/A7.csv", /2\.0000,.*\n/, "");
    });
    expect(seen).toMatch(/signals\/A4.csv: the top is cut at 1.2/);
    expect(seen).toMatch(/signals\/A7.csv: sampling is uneven/);
  });

  it("a signal that is no conductivity", async () => {
    const seen = await remarks((files) =>
      edit(files, "signals/A3.csv", "conductivity/(µS/cm)", "absorbance/mAU"),
    );
    expect(seen).toMatch(/signals\/A3.csv: the signal is in mAU, not a conductivity/);
  });

  it("a sample without an injection, a column that is probably misspelt, windows that overlap", async () => {
    const seen = await remarks((files) => {
      files.set("samples.csv", `${files.get("samples.csv")}rain,,,direct,,,,,,,,,,,\n`);
      edit(files, "worksheet.csv", "u_dilution", "u_dilutoin");
      edit(files, "batch.json", '"window": 0.3', '"window": 2.3');
    });
    expect(seen).toMatch(/samples.csv: line 4: "rain" was not injected/);
    expect(seen).toMatch(/worksheet.csv: column "u_dilutoin" is unknown .* "u_dilution" meant/);
    expect(seen).toMatch(/batch.json: the windows of chloride and nitrate overlap/);
  });
});

describe("a batch without calibration", () => {
  it("can be opened, but not quantified", async () => {
    const batch = await opened((files) => edit(files, "worksheet.csv", /A2,.*\nA3,.*\n/, ""));
    const refused = await refusalOf((async () => requireCalibration(batch))());
    expect(refused.code).toBe("no-calibration");
    expect(refused.where).toEqual({ file: join(batch.folder, "worksheet.csv"), column: "kind" });
    expect(refused.message).toMatch(/list the standards/);
  });

  it("lets no ion of the method go without a standard", async () => {
    const batch = await opened((files) => edit(files, "solutions.csv", /level . *,nitrate.*\n/g, ""));
    const refused = await refusalOf((async () => requireCalibration(batch))());
    expect(refused.code).toBe("no-calibration");
    expect(refused.message).toMatch(/contains nitrate: add rows .* or move it from "ions" to "notMeasured"/);
  });

  it("counts no standard of concentration zero", async () => {
    const batch = await opened((files) => {
      edit(files, "solutions.csv", "nitrate,0.1,", "nitrate,0,");
      edit(files, "solutions.csv", "nitrate,4000,", "nitrate,0,");
    });
    expect((await refusalOf((async () => requireCalibration(batch))())).code).toBe("no-calibration");
  });

  it("is no fault of a sound batch", async () => {
    const batch = await opened();
    expect(() => requireCalibration(batch)).not.toThrow();
  });
});
