import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readChromatogram } from "../../toolkit/batch/reading/chromatogram.js";
import { PlainRows } from "../../toolkit/batch/reading/plain-rows.js";
import type { ReadOptions } from "../../toolkit/batch/reading/read-options.js";
import { fileOf } from "./invented-batch.js";
import { refusalOf } from "./refusal.js";

// All records here are invented: they show what a file may look like.

const ROWS = ["0.0,0.80", "0.5,0.90", "1.0,1.80", "1.5,0.85"];

const read = (text: string, options?: ReadOptions) => readChromatogram(fileOf("run 7.txt", text), options);

const table = (header: string, rows = ROWS): string => `${header}\n${rows.join("\n")}\n`;

describe("the header of a delimited text", () => {
  it.each([
    ["time/min,conductivity/(µS/cm)", 1, 1],
    ["Time (s),Conductivity (nS/cm)", 1 / 60, 1e-3],
    ["t [min], conductivity [nS/cm]", 1, 1e-3],
    ["Retention time in h,Signal in mS/cm", 60, 1e3],
    ["time_min,conductivity_uS_cm", 1, 1],
    ["t/s,κ/(S/m)", 1 / 60, 1e4],
    ["time_s,κ / mS m⁻¹", 1 / 60, 10],
    ["Minutes,µS·cm-1", 1, 1],
    ['"Time (SECONDS)","Channel 1 (detector A) [μS/cm]"', 1 / 60, 1],
    ["# time/min,signal/µS/cm", 1, 1],
    ["Time,Signal\nms,nS/cm", 1 / 60_000, 1e-3],
    ["min,µS", 1, 1],
  ])("%s: times are multiplied by %f, signals by %f", async (header, perTime, perSignal) => {
    const { time, signal, signalUnit } = await read(table(header));
    expect(signalUnit).toBe("µS/cm");
    [0, 0.5, 1, 1.5].forEach((t, i) => {
      expect(time[i]).toBeCloseTo(t * perTime, 12);
    });
    [0.8, 0.9, 1.8, 0.85].forEach((y, i) => {
      expect(signal[i] / (y * perSignal)).toBeCloseTo(1, 14);
    });
  });

  it("keeps the unit of a signal that is no conductivity", async () => {
    expect((await read(table("Time (min),Absorbance (mAU)"))).signalUnit).toBe("mAU");
    expect((await read(table("time/min,signal in mV"))).signalUnit).toBe("mV");
    expect((await read(table("time [min],response [furlong]"))).signalUnit).toBe("furlong");
  });

  it("is found below descriptions, comments and a date", async () => {
    const before = [
      "# written by hand",
      "Sample: well 3; north",
      "Injection volume, 25 µL",
      "Date: 2025-02-14 09:30",
      "Run time, 20 min",
      "",
    ];
    const { time } = await read(table([...before, "time/min,signal (µS/cm)"].join("\n")));
    expect([...time]).toEqual([0, 0.5, 1, 1.5]);
  });

  it("tells the conductivity from other columns, wherever it stands", async () => {
    const rows = ["1,7.1,0.80,0.0", "2,7.2,0.90,0.5", "3,7.1,1.80,1.0"];
    const { signal, time } = await read(table("No.,pressure (MPa),conductivity (µS/cm),time (min)", rows));
    expect([...signal]).toEqual([0.8, 0.9, 1.8]);
    expect([...time]).toEqual([0, 0.5, 1]);
  });

  it("asks which column is meant where two carry a conductivity, and takes the one that is named", async () => {
    const text = table("time/min,A/(µS/cm),B/(µS/cm)", ["0,1,5", "1,2,6", "2,3,7"]);
    const refused = await refusalOf(read(text));
    expect(refused.code).toBe("ambiguous-column");
    expect(refused.message).toMatch(/signalColumn/);
    expect([...(await read(text, { signalColumn: "B" })).signal]).toEqual([5, 6, 7]);
  });

  it("says what was converted", async () => {
    const { notes } = await read(table("t/s,κ/(nS/cm)"));
    expect(notes).toEqual(["time given in s, converted to min", "signal given in nS/cm, converted to µS/cm"]);
    expect((await read(table("t/min,µS"))).notes).toEqual(["signal given in µS, taken as µS/cm"]);
    expect((await read(table("t/min,µS/cm"))).notes).toEqual([]);
  });
});

describe("a text without units", () => {
  it.each([
    ["no header at all", ROWS.join("\n"), "no-header"],
    ["titles only", table("Time,Signal"), "missing-unit"],
    ["a unit of time only", table("Time (min),Signal"), "missing-unit"],
  ])("is refused with %s, and read once the units are given", async (_, text, code) => {
    const refused = await refusalOf(read(text));
    expect(refused.code).toBe(code);
    expect(refused.where?.line).toBe(1);
    expect(refused.message).toMatch(/write|begin the file with/);
    expect(refused.message).toMatch(/signalUnit/);
    const { time, signal } = await read(text, { timeUnit: "s", signalUnit: "nS/cm" });
    expect(time[3]).toBeCloseTo(1.5 / 60, 15);
    expect(signal[2]).toBeCloseTo(0.0018, 15);
  });
});

describe("separators and decimal commas", () => {
  it.each([
    ["semicolons", "time/min;µS/cm", ["0,0;0,80", "0,5;0,90", "1,0;1,80"]],
    ["tabs", "time/min\tµS/cm", ["0,0\t0,80", "0,5\t0,90", "1,0\t1,80"]],
    ["semicolons with points", "time/min;µS/cm", ["0.0; 0.80", "0.5; 0.90", "1.0; 1.80"]],
    ["blanks", "time/min  conductivity/(µS/cm)", ["0.0  0.80", " 0.5  0.90", " 1.0  1.80"]],
    ["single blanks", "Time (min) Signal (µS/cm)", ["0.0 0.80", "0.5 0.90", "1.0 1.80"]],
    ["commas and blanks", "time/min, µS/cm", ["0.0, 0.80", "0.5, 0.90", "1.0, 1.80"]],
    ["exponents", "time/min,µS/cm", ["0e0,8.0E-1", "5e-1,9e-1", "+1,.18e+1"]],
    ["an empty last column", "time/min,µS/cm,", ["0,0.80,", "0.5,0.90,", "1,1.80,"]],
  ])("%s are understood", async (_, header, rows) => {
    const { time, signal } = await read(table(header, rows));
    expect([...time]).toEqual([0, 0.5, 1]);
    expect([...signal]).toEqual([0.8, 0.9, 1.8]);
  });

  it.each([
    ["UTF-8 with a byte order mark", (text: string) => Buffer.from(`\uFEFF${text}`, "utf8")],
    ["UTF-16", (text: string) => Buffer.from(`\uFEFF${text}`, "utf16le")],
    ["Windows-1252", (text: string) => Buffer.from(text, "latin1")],
    ["line ends of two characters", (text: string) => Buffer.from(text.replaceAll("\n", "\r\n"), "utf8")],
    ["no last line end", (text: string) => Buffer.from(text.trimEnd(), "utf8")],
    [
      "blank lines and comments",
      (text: string) => Buffer.from(text.replaceAll("\n", "\n\n# more\n"), "utf8"),
    ],
  ])("%s is understood", async (_, encode) => {
    const bytes = encode(table("time/min,conductivity (µS/cm)"));
    const { signal, signalUnit } = await readChromatogram(fileOf("a.csv", bytes));
    expect(signalUnit).toBe("µS/cm");
    expect([...signal]).toEqual([0.8, 0.9, 1.8, 0.85]);
  });

  it.each([1, 2, 3])(
    "every number is the very one JavaScript reads from the same digits (seed %i)",
    (seed) => {
      const digits = fc.tuple(
        fc.constantFrom("", "-", "+"),
        fc.double({ min: 0, max: 1e7, noNaN: true }),
        fc.integer({ min: 0, max: 12 }),
      );
      const property = fc.property(digits, digits, (first, second) => {
        const [a, b] = [first, second].map(([sign, value, decimals]) => sign + value.toFixed(decimals));
        const rows = new PlainRows(`${a},${b}\n`, {
          delimiter: ",",
          width: 2,
          timeColumn: 0,
          signalColumn: 1,
        });
        // More than 15 digits are left to the careful reading.
        const isShort = [a, b].every((text) => Number(text.replace(/\D/g, "")) < 1e15);
        expect(rows.read(0)).toBe(isShort);
        if (isShort) expect([rows.time, rows.signal]).toEqual([Number(a), Number(b)]);
      });
      fc.assert(property, { seed, numRuns: 2000 });
    },
  );
});

describe("what is noticed in a record", () => {
  const record = (times: readonly number[], signals: (i: number) => number, digits = 6): string =>
    table(
      "time/min,µS/cm",
      times.map((t, i) => `${t.toFixed(digits)},${signals(i).toFixed(4)}`),
    );
  const even = Array.from({ length: 100 }, (_, i) => i / 300);
  const hill = (i: number): number => 0.8 + 5 * Math.exp(-(((i - 50) / 12) ** 2));

  it("nothing, in an even record with a smooth top", async () => {
    expect((await read(record(even, hill))).notes).toEqual([]);
  });

  it("nothing, where times are rounded to fewer digits than the interval needs", async () => {
    expect((await read(record(even, hill, 3))).notes).toEqual([]);
  });

  it("an interval 1.5 % off the usual one, but not one 0.5 % off", async () => {
    const shifted = (share: number): number[] => even.map((t, i) => (i >= 40 ? t + share / 300 : t));
    expect((await read(record(shifted(0.015), hill, 9))).notes.join()).toMatch(/uneven in 1 of 99 intervals/);
    expect((await read(record(shifted(0.005), hill, 9))).notes).toEqual([]);
  });

  it("a gap, with its time", async () => {
    const { notes } = await read(record([...even.slice(0, 30), ...even.slice(36)], hill));
    expect(notes.join()).toMatch(/at 0\.097 min the interval is 600 % off/);
  });

  it("a top cut by the detector's range, but not two equal readings or a rounded top", async () => {
    const cut = (i: number): number => Math.min(hill(i), 4);
    expect((await read(record(even, cut))).notes.join()).toMatch(/top is cut at 4: \d+ equal readings/);
    const twin = (i: number): number => hill(i < 51 ? i : i - 1);
    expect((await read(record(even, twin))).notes).toEqual([]);
    const low = (i: number): number => 0.8 + 0.0004 * Math.exp(-(((i - 50) / 12) ** 2));
    expect((await read(record(even, low))).notes).toEqual([]);
  });

  it("a dead detector", async () => {
    expect((await read(record(even, () => 0.8))).notes.join()).toMatch(/all 100 readings are equal/);
  });
});

describe("the chromatogram that is returned", () => {
  it("carries the file's name as id unless another is given, and says what it is", async () => {
    const text = table("time/min,µS/cm");
    const file = fileOf("run 7.txt", text);
    const chromatogram = await readChromatogram(file);
    expect(chromatogram).toMatchObject({ kind: "chromatogram", id: "run 7", source: file });
    expect(String(chromatogram)).toBe("chromatogram run 7: 4 points, 0 to 1.5 min, 0.8 to 1.8 µS/cm");
    const named = await readChromatogram(file, { id: "A7", channel: "cation" });
    expect(named).toMatchObject({ id: "A7", channel: "cation" });
  });

  it("shows itself in a notebook at least as text", async () => {
    const chromatogram = await read(table("time/min,µS/cm"));
    const show = (chromatogram as unknown as Record<symbol, () => unknown>)[Symbol.for("Jupyter.display")];
    expect(await show.call(chromatogram)).toMatchObject({ "text/plain": String(chromatogram) });
  });
});
