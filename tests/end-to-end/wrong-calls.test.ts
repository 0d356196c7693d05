import { describe, expect, test } from "vitest";
import * as toolkit from "../../toolkit/index.js";

/** The face as somebody without types sees it: a wrong call must meet advice, not the compiler. */
// biome-ignore lint/suspicious/noExplicitAny: the calls are wrong on purpose
const t = toolkit as any;

const FOLDER = "datasets/road-salt-in-wells/anions";
const points = (...levels: number[]) =>
  levels.map((concentration, i) => ({ concentration, response: 0.1 + 2 * concentration + 0.01 * (i % 2) }));
const milligrams = (value: number, unit = "mg/L") => toolkit.measured(value, unit, { u: 0.1 });

type WrongCall = readonly [call: string, run: () => unknown, code: string, words: string];

const BATCHES: readonly WrongCall[] = [
  [
    "quantify without await",
    () => t.quantify(t.openBatch(FOLDER)),
    "not-a-batch",
    "put await before openBatch",
  ],
  [
    "quantify of a list without await",
    () => t.quantify([t.openBatch(FOLDER)]),
    "not-a-batch",
    "put await before openBatch",
  ],
  ["quantify of a folder", () => t.quantify("folder"), "not-a-batch", "quantify(await openBatch(folder))"],
  ["quantify of nothing", () => t.quantify(), "not-a-batch", "quantify(await openBatch(folder))"],
  ["quantify of an empty list", () => t.quantify([]), "no-batch", "open a folder with openBatch"],
  [
    "a misspelt option of quantify",
    () => t.quantify([], { acept: {} }),
    "unknown-option",
    'did you mean "accept"',
  ],
  [
    "openBatch of a file",
    () => t.openBatch(`${FOLDER}/worksheet.csv`),
    "missing-folder",
    "this is a file, not a folder",
  ],
  [
    "openBatch of a missing folder",
    () => t.openBatch("no/such"),
    "missing-folder",
    "name the folder that holds batch.json",
  ],
  [
    "the same channel twice",
    async () => {
      const b = await t.openBatch(FOLDER);
      return t.quantify([b, b]);
    },
    "same-channel",
    "one anion batch and one of the other channel",
  ],
];

const CURVES: readonly WrongCall[] = [
  [
    "1/x^2 with a level at zero",
    () => t.calibrate(points(0, 1, 2, 3), { weighting: "1/x^2", unit: "µg/L" }),
    "zero-level",
    'point 1 is 0 µg/L. Leave it out or choose weighting "none"',
  ],
  [
    "a misspelt weighting",
    () => t.calibrate(points(1, 2, 3), { weighting: "1/x²" }),
    "unknown-weighting",
    '"1/x^2"',
  ],
  [
    "a misspelt model",
    () => t.calibrate(points(1, 2, 3), { model: "quadratc" }),
    "unknown-model",
    "quadratic",
  ],
  [
    "a misspelt option",
    () => t.calibrate(points(1, 2, 3), { weigthing: "1/x" }),
    "unknown-option",
    'did you mean "weighting"',
  ],
  [
    "an option without its name",
    () => t.calibrate(points(1, 2, 3), "chloride"),
    "bad-option",
    "{ model: … }",
  ],
  ["bare numbers", () => t.calibrate([1, 2, 3]), "bad-points", "{ concentration: 0.5, response: 0.031 }"],
  ["two lists", () => t.calibrate([1, 2, 3], [2, 3, 4]), "bad-points", "one list of readings"],
  ["no points", () => t.calibrate(), "bad-points", "one list of readings"],
  ["an empty list of points", () => t.calibrate([]), "too-few-points", "inject more standards"],
  [
    "a text for a concentration",
    () => t.calibrate([{ concentration: "1.5", response: 2 }]),
    "not-a-number",
    'concentration "1.5"',
  ],
  [
    "one addition",
    () => t.standardAddition([{ added: 0, response: 1 }]),
    "too-few-points",
    "two or more additions",
  ],
  ["no additions", () => t.standardAddition(), "too-few-points", "{ added: 0, response: 0.4 }"],
];

const VALUES: readonly WrongCall[] = [
  [
    "swapped arguments",
    () => t.convert(1, "chloride", "mg/L", "mmol/L"),
    "unknown-unit",
    'convert(1, "mg/L", "mmol/L", "chloride")',
  ],
  [
    "convert without an ion",
    () => t.convert(1, "mg/L", "mmol/L"),
    "unknown-ion",
    'convert(1, "mg/L", "mmol/L", "chloride")',
  ],
  [
    "convert of a text",
    () => t.convert("1.5", "mg/L", "mmol/L", "chloride"),
    "not-a-number",
    'the text "1.5"',
  ],
  [
    "convert of NaN",
    () => t.convert(Number.NaN, "mg/L", "mmol/L", "chloride"),
    "not-a-number",
    "give a finite number of mg/L",
  ],
  ["ion of nothing", () => t.ion(), "unknown-ion", 'ion("sulfate")'],
  [
    "measured without unit",
    () => t.measured(1, { u: 0.1 }),
    "bad-unit",
    'measured(12.4, "mg/L", { u: 0.2 })',
  ],
  [
    "measured with a bare uncertainty",
    () => t.measured(1, "mg/L", 0.1),
    "bad-uncertainty",
    'measured(12.4, "mg/L", { u: 0.2 })',
  ],
  ["measured with U for u", () => t.measured(1, "mg/L", { U: 0.1 }), "bad-uncertainty", "{ expanded, k }"],
  ["a negative u", () => t.measured(1, "mg/L", { u: -1 }), "bad-uncertainty", "it must be 0 or more"],
  ["a text for a value", () => t.measured("1.5", "mg/L", { u: 0.1 }), "bad-value", 'the text "1.5"'],
  [
    "NaN for a value",
    () => t.measured(Number.NaN, "mg/L", { u: 0.1 }),
    "bad-value",
    "a finite number is needed",
  ],
  [
    "one reading, not a list",
    () => t.fromReadings(5, "mg/L"),
    "too-few-readings",
    "fromReadings([1.21, 1.24, 1.19]",
  ],
  [
    "a sum of two units",
    () => t.plus(milligrams(1), milligrams(1, "mmol/L")),
    "unit-mismatch",
    'inUnit(value, "mg/L", "chloride")',
  ],
  ["a sum with a text", () => t.plus(milligrams(1), "2"), "bad-input", 'not the text "2"'],
  ["a product with a text", () => t.times("2", milligrams(1)), "bad-input", 'not the text "2"'],
  ["a sum of one", () => t.plus(milligrams(1)), "bad-input", "measured values and numbers"],
  [
    "a model that gives NaN",
    () => t.monteCarlo(() => Number.NaN, { a: milligrams(1) }),
    "model-not-finite",
    "Its inputs are a",
  ],
  [
    "a model with a missing input",
    () => t.monteCarlo((x: { b: number }) => x.b, { a: milligrams(1) }),
    "model-not-finite",
    "Its inputs are a",
  ],
  [
    "model and inputs swapped",
    () => t.monteCarlo({ a: milligrams(1) }, () => 1),
    "bad-input",
    "model comes first",
  ],
  ["a model without inputs", () => t.propagate(() => 1, undefined, "1"), "bad-input", "its inputs by name"],
];

const MISSPELT: readonly WrongCall[] = [
  [
    "a misspelt option of monteCarlo",
    () => t.monteCarlo(({ a }: { a: number }) => a, { a: milligrams(1) }, { sede: 2 }),
    "unknown-option",
    'did you mean "seed"',
  ],
];

const WATERS_AND_SERIES: readonly WrongCall[] = [
  ["a balance with an unknown ion", () => t.chargeBalance({ chlorid: 5 }), "unknown-ion", "chloride"],
  [
    "a balance with mg/L as text",
    () => t.chargeBalance({ chloride: "5 mg/L" }),
    "not-a-number",
    "{ chloride: 12.4 }",
  ],
  ["a balance of nothing", () => t.chargeBalance(), "no-concentrations", "{ chloride: 35.4, sodium: 23 }"],
  [
    "bare numbers as series",
    () => t.compareSeries([1, 2], [3, 4]),
    "not-a-series",
    'found.series("well 3", "chloride")',
  ],
  [
    "one series",
    () => t.compareSeries({ kind: "series", visits: [] }),
    "unknown-design",
    'design: "before-after"',
  ],
  ["a decision without a limit", () => t.decide(milligrams(1)), "bad-limit", "limit and its unit by name"],
  ["a decision on a bare number", () => t.decide(5, 3), "bad-input", "a result with its uncertainty"],
  [
    "limits from the blanks themselves",
    () => t.currieLimits([1, 2, 3]),
    "bad-spread",
    "standardDeviation(blanks)",
  ],
  [
    "a list for the detection limit",
    () => t.methodDetectionLimit([1]),
    "too-few-replicates",
    "{ fortified: [0.11, 0.09, …]",
  ],
  [
    "too few fortified blanks",
    () => t.methodDetectionLimit({ fortified: [1] }),
    "too-few-replicates",
    "prepare and measure more",
  ],
];

const TRACES: readonly WrongCall[] = [
  [
    "a baseline of an array",
    () => t.estimateBaseline([1, 2, 3]),
    "not-a-chromatogram",
    "makeChromatogram({ id",
  ],
  ["noise of an array", () => t.estimateNoise([1, 2, 3]), "not-a-chromatogram", "makeChromatogram({ id"],
  ["peaks of an array", () => t.findPeaks([1, 2, 3]), "not-a-chromatogram", "makeChromatogram({ id"],
  [
    "a fit without await",
    () => t.fitPeaks(Promise.resolve(1)),
    "not-a-chromatogram",
    "put await before readChromatogram",
  ],
  [
    "a chromatogram of an array",
    () => t.makeChromatogram([1, 2]),
    "missing-readings",
    "its times and its signal",
  ],
];

describe("a wrong call reads like advice", () => {
  test.each([...BATCHES, ...CURVES, ...VALUES, ...MISSPELT, ...WATERS_AND_SERIES, ...TRACES])(
    "%s",
    async (_, run, code, words) => {
      const fault: unknown = await (async () => run())().then(
        () => "nothing was thrown",
        (error: unknown) => error,
      );
      expect(fault).toMatchObject({ name: "IonbookError", code });
      expect((fault as Error).message).toContain(words);
    },
  );
});
