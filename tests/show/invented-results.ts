// INVENTED results for developing and testing pages. Nothing here was measured, simulated by the toolkit, or
// evaluated by it: areas are those of the invented peaks with a little scatter, limits and verdicts are made up.
import { makeResults } from "../../toolkit/batch/quantify/results.js";
import type {
  Batch,
  Channel,
  CheckResult,
  EvaluatedTrace,
  FittedComponent,
  Injection,
  InjectionKind,
  IonCalibration,
  MethodIon,
  PeakResult,
  Results,
  Sample,
  SampleBalance,
  SampleResult,
  UnknownPeak,
} from "../../toolkit/batch/types.js";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { DISPLAY, displayOf } from "../../toolkit/display.js";
import { ion } from "../../toolkit/ions/ion-table.js";
import { createRandom, type Random } from "../../toolkit/numeric/random.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import {
  combineLinear,
  type MeasuredValue,
  measured,
  minus,
  over,
  plus,
} from "../../toolkit/uncertainty/measured.js";
import { bell, bellArea, type InventedPeak, inventedRecord } from "./invented-records.js";

interface Species {
  readonly name: string;
  readonly time: number;
  readonly sigma: number;
  /** µS/cm·min per mg/L */
  readonly slope: number;
  readonly top: number;
  readonly weak?: boolean;
}

const SPECIES: Readonly<Record<Channel, readonly Species[]>> = {
  anion: [
    { name: "fluoride", time: 3.12, sigma: 0.045, slope: 0.31, top: 2 },
    { name: "chloride", time: 5.28, sigma: 0.07, slope: 0.244, top: 40 },
    { name: "nitrite", time: 6.05, sigma: 0.07, slope: 0.17, top: 2 },
    { name: "bromide", time: 8.4, sigma: 0.1, slope: 0.105, top: 2 },
    { name: "nitrate", time: 8.92, sigma: 0.1, slope: 0.135, top: 20 },
    { name: "sulfate", time: 11.6, sigma: 0.11, slope: 0.176, top: 40 },
    { name: "phosphate", time: 15.2, sigma: 0.13, slope: 0.075, top: 2 },
  ],
  cation: [
    { name: "lithium", time: 3.6, sigma: 0.06, slope: 0.9, top: 1 },
    { name: "sodium", time: 4.8, sigma: 0.07, slope: 0.27, top: 40 },
    { name: "ammonium", time: 5.45, sigma: 0.08, slope: 0.29, top: 2, weak: true },
    { name: "potassium", time: 7.6, sigma: 0.1, slope: 0.18, top: 10 },
    { name: "magnesium", time: 11.3, sigma: 0.13, slope: 0.49, top: 20 },
    { name: "calcium", time: 14.1, sigma: 0.16, slope: 0.31, top: 80 },
  ],
};

/** mg/L in the sample; `own` are unidentified peaks as µS/cm heights. */
interface InventedWater {
  readonly sample: string;
  /** Charge that the balance misses, meq/L: an anion that was not looked for. */
  readonly gap: number;
  readonly ions: Readonly<Record<string, number>>;
  readonly own?: readonly number[];
  readonly dilutions: Readonly<Record<Channel, readonly number[]>>;
}

const plain = { anion: [1], cation: [1] };
const WATERS: readonly InventedWater[] = [
  {
    sample: "spring",
    gap: 0.02,
    dilutions: plain,
    ions: {
      fluoride: 0.11,
      chloride: 12.4,
      nitrate: 8.1,
      sulfate: 21,
      sodium: 6.0,
      potassium: 1.1,
      magnesium: 9.2,
      calcium: 61.2,
      bromide: 0.02,
    },
  },
  {
    sample: "well 1",
    gap: -0.03,
    dilutions: plain,
    ions: {
      fluoride: 0.12,
      chloride: 18.2,
      nitrate: 9.4,
      sulfate: 24,
      sodium: 9.9,
      potassium: 1.3,
      magnesium: 9.8,
      calcium: 60.1,
      bromide: 0.03,
    },
  },
  {
    sample: "well 2",
    gap: 0.01,
    dilutions: plain,
    ions: {
      fluoride: 0.1,
      chloride: 21.7,
      nitrate: 14.9,
      sulfate: 22.4,
      sodium: 12.2,
      potassium: 1.6,
      magnesium: 10.1,
      calcium: 62.5,
      nitrite: 0.04,
    },
  },
  {
    sample: "well 3",
    gap: 0.14,
    dilutions: { anion: [1, 5], cation: [1, 5] },
    own: [0.5, 1.2],
    ions: {
      fluoride: 0.13,
      chloride: 102.9,
      nitrate: 11.2,
      sulfate: 26.1,
      sodium: 58.5,
      potassium: 2.4,
      magnesium: 11.3,
      calcium: 73.1,
      bromide: 0.09,
      ammonium: 0.06,
      phosphate: 0.05,
    },
  },
  {
    sample: "well 4",
    gap: -0.05,
    dilutions: plain,
    ions: {
      fluoride: 0.11,
      chloride: 14.1,
      nitrate: 7.7,
      sulfate: 20.3,
      sodium: 7.1,
      potassium: 1.2,
      magnesium: 9.1,
      calcium: 59.4,
    },
  },
  {
    sample: "melt-water ditch",
    gap: 0.4,
    dilutions: { anion: [10, 50], cation: [10, 50] },
    ions: {
      fluoride: 0.06,
      chloride: 1264,
      nitrate: 4.2,
      sulfate: 17.5,
      sodium: 808,
      potassium: 3.9,
      magnesium: 4.9,
      calcium: 41.7,
      bromide: 0.31,
      ammonium: 0.9,
    },
  },
  {
    sample: "rain",
    gap: 0.004,
    dilutions: plain,
    ions: {
      chloride: 0.61,
      nitrate: 1.23,
      sulfate: 1.1,
      sodium: 0.31,
      potassium: 0.08,
      magnesium: 0.05,
      calcium: 0.22,
      ammonium: 0.39,
    },
  },
  {
    sample: "tap",
    gap: 0.62,
    dilutions: plain,
    ions: {
      fluoride: 0.12,
      chloride: 19.4,
      nitrate: 9.9,
      sulfate: 23.7,
      sodium: 10.9,
      potassium: 1.4,
      magnesium: 9.6,
      calcium: 58.8,
      phosphate: 0.3,
    },
  },
];

const LEVELS = [0.0025, 0.01, 0.05, 0.2, 0.5, 0.75, 1];

interface Run {
  readonly injection: Injection;
  readonly content: Readonly<Record<string, number>>;
  readonly own: readonly number[];
}

export interface InventedOptions {
  readonly points?: number;
  /** Copies of the eight waters, renamed. */
  readonly repeats?: number;
  readonly channels?: readonly Channel[];
}

/** A whole investigation, invented from end to end. */
export function inventedResults(options: InventedOptions = {}): Results {
  const { points = 6000, repeats = 1, channels = ["anion", "cation"] } = options;
  const waters = Array.from({ length: repeats }, (_, copy) =>
    WATERS.map((water) => (copy === 0 ? water : { ...water, sample: `${water.sample} ${copy + 1}` })),
  ).flat();
  const parts = channels.map((channel) => inventChannel(channel, waters, points));
  const samples = parts.flatMap((part) => part.samples);
  return makeResults({
    kind: "results",
    title: "Does winter road salt reach the village wells?",
    invented: true,
    batches: parts.map((part) => part.batch),
    samples,
    peaks: parts.flatMap((part) => part.traces.flatMap((trace) => trace.peaks)),
    calibrations: parts.flatMap((part) => part.calibrations),
    checks: parts.flatMap((part) => part.checks),
    balances: channels.length === 2 ? waters.map((water) => inventBalance(water, samples)) : [],
    unknowns: parts.flatMap((part) => part.unknowns),
    traces: new Map(
      parts.flatMap((part) => part.traces.map((trace) => [trace.injection.id, trace] as const)),
    ),
  });
}

function inventRuns(channel: Channel, waters: readonly InventedWater[]): readonly Run[] {
  const letter = channel === "anion" ? "A" : "C";
  const runs: Run[] = [];
  const add = (
    kind: InjectionKind,
    solution: string,
    content: Readonly<Record<string, number>>,
    extra: { dilution?: number; parent?: string; own?: readonly number[] } = {},
  ): string => {
    const number = runs.length + 1;
    const id = `${letter}${String(number).padStart(3, "0")}`;
    const dilution = extra.dilution ?? 1;
    const minute = number * 24;
    const at = new Date(Date.UTC(2031, 2, 3, 7, minute)).toISOString().replace(".000Z", "Z");
    const injection: Injection = {
      id,
      signal: `signals/${id}.csv`,
      injectedAt: at,
      kind,
      solution,
      dilution,
      uDilution: dilution === 1 ? 0 : dilution * 0.003,
      parent: extra.parent,
      remark: undefined,
      line: number + 1,
      other: {},
    };
    const scaled = Object.fromEntries(Object.entries(content).map(([name, mg]) => [name, mg / dilution]));
    runs.push({ injection, content: scaled, own: (extra.own ?? []).map((height) => height / dilution) });
    return id;
  };
  for (let blank = 1; blank <= 4; blank += 1) add("blank", "water", {});
  for (const level of LEVELS) {
    const content = Object.fromEntries(SPECIES[channel].map((each) => [each.name, each.top * level]));
    add("calibration", `standard ${LEVELS.indexOf(level) + 1}`, content);
    add("calibration", `standard ${LEVELS.indexOf(level) + 1}`, content);
  }
  const half = Object.fromEntries(SPECIES[channel].map((each) => [each.name, each.top * 0.5]));
  add("second source", "second source", half);
  add("continuing check", "check", half);
  for (const water of waters) {
    let parent = "";
    for (const dilution of water.dilutions[channel]) {
      parent = add("sample", water.sample, water.ions, {
        dilution,
        own: channel === "anion" ? (water.own ?? []) : [],
      });
    }
    if (water.sample === "well 1") add("duplicate", water.sample, water.ions, { parent });
    if (water.sample === "well 2") {
      const spiked = Object.fromEntries(
        SPECIES[channel].map((each) => [each.name, (water.ions[each.name] ?? 0) + each.top * 0.2]),
      );
      add("matrix spike", "spike", spiked, { parent });
    }
  }
  const low = Object.fromEntries(
    SPECIES[channel].map((each) => [each.name, each.top * (each.name === "nitrate" ? 0.41 : 0.5)]),
  );
  add("continuing check", "check", low);
  add("blank", "water", {});
  return runs;
}

function inventChannel(channel: Channel, waters: readonly InventedWater[], points: number) {
  const random = createRandom(`invented ${channel}`);
  const runs = inventRuns(channel, waters);
  const traces = runs.map((run) => inventTrace(channel, run, points, random));
  const calibrations = SPECIES[channel].map((each) => inventCalibration(channel, each, runs, traces));
  const samples = waters.flatMap((water) => inventSamples(channel, water, runs, calibrations, random));
  return {
    batch: inventBatch(channel, waters, runs, traces),
    traces,
    calibrations,
    samples,
    checks: inventChecks(channel, runs, random),
    unknowns: channel === "anion" ? inventUnknowns(traces) : [],
  };
}

function inventTrace(channel: Channel, run: Run, points: number, random: Random): EvaluatedTrace {
  const shapes: (InventedPeak & { readonly fitted: boolean; readonly identity: PeakResult["identity"] })[] =
    [];
  for (const each of SPECIES[channel]) {
    const mg = run.content[each.name] ?? 0;
    const curved = each.weak === true ? mg / (1 + 0.12 * mg) : mg;
    const area = each.slope * curved * (1 + 0.003 * random.normal());
    const tail = 1.25;
    const height = area / (each.sigma * Math.sqrt(2 * Math.PI) * ((1 + tail) / 2));
    const time = each.time * (1 + 0.0008 * random.normal());
    const fitted = ["bromide", "nitrate", "ammonium", "nitrite"].includes(each.name);
    shapes.push({ ion: each.name, time, sigma: each.sigma, tail, height, fitted, identity: "confirmed" });
  }
  run.own.forEach((height, index) => {
    const time = index === 0 ? 3.95 : 7.25;
    const ionName = `unknown-${index + 1}`;
    shapes.push({
      ion: ionName,
      time,
      sigma: index === 0 ? 0.06 : 0.19,
      tail: 1.1,
      height,
      fitted: false,
      identity: "unknown",
    });
  });
  if (channel === "anion") {
    shapes.push({
      ion: "system-1",
      time: 10.2,
      sigma: 0.2,
      tail: 1.6,
      height: 0.035,
      fitted: false,
      identity: "system",
    });
  }
  const end = channel === "anion" ? 18 : 17;
  const seed = `invented ${run.injection.id}`;
  const record = inventedRecord(shapes, {
    points,
    end,
    from: 2,
    rise: channel === "anion" ? 0.5 : 0.08,
    seed,
  });
  const visible = shapes.filter((shape) => shape.height > 4 * record.noise);
  const components: FittedComponent[] = visible
    .filter((shape) => shape.fitted)
    .map((shape) => {
      const first = Math.floor(((shape.time - 5 * shape.sigma) / end) * points);
      const last = Math.ceil(((shape.time + 7 * shape.sigma) / end) * points);
      return {
        ion: shape.ion,
        first,
        values: Float64Array.from({ length: last - first }, (_, index) =>
          bell(shape, record.time[first + index]),
        ),
      };
    });
  return {
    kind: "trace",
    injection: run.injection,
    channel,
    time: record.time,
    signal: record.signal,
    baseline: record.baseline,
    noise: record.noise,
    components,
    peaks: visible.map((shape) => {
      const area = bellArea(shape);
      return {
        injection: run.injection.id,
        ion: shape.ion,
        retentionTime: shape.time,
        area: measured(area, "µS/cm·min", { u: Math.hypot(0.003 * area, 0.0002) }),
        height: shape.height,
        widthHalf: 2.36 * shape.sigma,
        tailing: shape.tail,
        resolutionNext: undefined,
        signalToNoise: shape.height / record.noise,
        identity: shape.identity,
        start: shape.time - 4 * shape.sigma,
        end: shape.time + 5 * shape.sigma,
        rule: shape.fitted ? "joint fit" : "summation",
        flags: [],
      } satisfies PeakResult;
    }),
  };
}

function inventCalibration(
  channel: Channel,
  each: Species,
  runs: readonly Run[],
  traces: readonly EvaluatedTrace[],
): IonCalibration {
  const used = runs
    .map((run, index) => ({ run, peak: traces[index].peaks.find((peak) => peak.ion === each.name) }))
    .filter(({ run, peak }) => run.injection.kind === "calibration" && peak !== undefined);
  const readings = used.map(({ run, peak }) => ({
    concentration: run.content[each.name],
    response: peak?.area.value ?? 0,
  }));
  const model = each.weak ? "weak" : "linear";
  const outlier = each.name === "sulfate" ? 5 : -1;
  const curve = calibrate(
    readings.filter((_, index) => index !== outlier),
    { model, weighting: "1/x^2", ion: each.name },
  );
  const loq = each.top * LEVELS[0] * 1.2;
  return {
    kind: "ion-calibration",
    ion: each.name,
    channel,
    model,
    weighting: "1/x^2",
    curve,
    points: used.map(({ run, peak }, index) => {
      const found = curve.concentration(peak?.area.value ?? 0, { u: 0 }).value;
      const given = run.content[each.name];
      return {
        injection: run.injection.id,
        solution: run.injection.solution,
        concentration: given,
        area: peak?.area.value ?? 0,
        uArea: peak?.area.u ?? 0,
        rejected: index === outlier ? "air bubble seen in the trace" : undefined,
        relativeErrorPercent: (100 * (found - given)) / given,
      };
    }),
    low: each.top * LEVELS[0],
    high: each.top,
    criticalValue: loq / 6,
    lod: loq / 3,
    loq,
    mdl: undefined,
    limitDefinition:
      "critical value and detection limit from 4 blanks (fixed-window areas, Currie, α = β = 5 %)",
    verdict: each.name === "ammonium" ? "lack of fit at the lowest level (F 5.1, p 0.02)" : "accepted",
  };
}

function inventSamples(
  channel: Channel,
  water: InventedWater,
  runs: readonly Run[],
  calibrations: readonly IonCalibration[],
  random: Random,
): readonly SampleResult[] {
  const own = runs.filter(
    (run) => run.injection.kind === "sample" && run.injection.solution === water.sample,
  );
  const rows = calibrations.map((calibration): SampleResult => {
    const truth = water.ions[calibration.ion] ?? 0;
    const run =
      own.find((each) => truth / each.injection.dilution <= calibration.high) ?? own[own.length - 1];
    const dilution = run.injection.dilution;
    const u = Math.hypot(0.008 * truth, calibration.criticalValue * dilution * 0.6);
    const value = truth + u * random.normal();
    const injected = value / dilution;
    const status =
      injected > calibration.high
        ? "above range"
        : injected < calibration.criticalValue
          ? "not detected"
          : injected < calibration.loq
            ? "below quantification"
            : "quantified";
    return {
      sample: water.sample,
      ion: calibration.ion,
      channel,
      value: measured(value, "mg/L", { u }, { dof: 18 }),
      unit: "mg/L",
      status,
      detectionLimit: calibration.lod * dilution,
      quantificationLimit: calibration.loq * dilution,
      dilution,
      injection: run.injection.id,
      flags: calibration.ion === "nitrate" && ["rain", "tap"].includes(water.sample) ? ["check-low"] : [],
    };
  });
  const missing = channel === "cation" ? ["barium"] : [];
  return [
    ...rows,
    ...missing.map(
      (name): SampleResult => ({
        sample: water.sample,
        ion: name,
        channel,
        value: undefined,
        unit: "mg/L",
        status: "not measured",
        detectionLimit: undefined,
        quantificationLimit: undefined,
        dilution: undefined,
        injection: undefined,
        flags: [],
      }),
    ),
  ];
}

function inventChecks(channel: Channel, runs: readonly Run[], random: Random): readonly CheckResult[] {
  const checks: CheckResult[] = [];
  for (const run of runs) {
    const { kind, id } = run.injection;
    if (kind !== "continuing check" && kind !== "second source") continue;
    for (const each of SPECIES[channel]) {
      const bad = each.name === "nitrate" && run.content[each.name] < each.top * 0.45;
      checks.push({
        check: kind,
        injection: id,
        ion: each.name,
        channel,
        found: bad ? 82.4 : 100 + 1.5 * random.normal(),
        expected: 100,
        limit: "90–110 %",
        passed: !bad,
        source: "default of this program, common practice, no source",
        touches: bad ? ["rain", "tap"] : [],
      });
    }
  }
  for (const each of SPECIES[channel]) {
    checks.push({
      check: "calibration blank",
      injection: runs[0].injection.id,
      ion: each.name,
      channel,
      found: Math.abs(0.0003 * random.normal()),
      expected: undefined,
      limit: "below half the quantification limit",
      passed: true,
      source: "common practice, no source",
      touches: [],
    });
  }
  const duplicate = runs.find((run) => run.injection.kind === "duplicate");
  if (duplicate) {
    checks.push({
      check: "duplicate",
      injection: duplicate.injection.id,
      ion: SPECIES[channel][1].name,
      channel,
      found: 14.2,
      expected: 0,
      limit: "difference at most 10 %",
      passed: channel === "cation",
      source: "common practice, no source",
      touches: channel === "cation" ? [] : ["well 1"],
    });
  }
  return checks;
}

function inventUnknowns(traces: readonly EvaluatedTrace[]): readonly UnknownPeak[] {
  return ["unknown-1", "unknown-2"].map((name) => {
    const seen = traces.flatMap((trace) =>
      trace.peaks.filter((peak) => peak.ion === name).map((peak) => ({ trace, peak })),
    );
    return {
      name,
      channel: "anion" as const,
      retentionTime: seen[0].peak.retentionTime,
      seenIn: seen.map(({ trace, peak }) => ({
        injection: trace.injection.id,
        sample: trace.injection.solution,
        area: peak.area,
        microequivalents: measured((peak.area.value / 8.66) * 1000, "µeq/L", {
          u: (peak.area.value / 8.66) * 40,
        }),
      })),
    };
  });
}

function milliequivalents(row: SampleResult): MeasuredValue {
  const { charge, molarMass } = ion(row.ion);
  const factor = Math.abs(charge) / molarMass;
  return combineLinear([{ value: row.value ?? measured(0, "mg/L", { u: 0 }), factor }], "meq/L");
}

/** meq/L: what the named ions leave open, less the invented gap. */
function alkalinityOf(water: InventedWater): number {
  let open = -water.gap;
  for (const [name, mg] of Object.entries(water.ions)) {
    const { charge, molarMass } = ion(name);
    open += (charge * mg) / molarMass;
  }
  return Math.max(open, 0.002);
}

function inventBalance(water: InventedWater, rows: readonly SampleResult[]): SampleBalance {
  const own = rows.filter((row) => row.sample === water.sample && row.value !== undefined);
  const parts = own.map((row) => ({
    ion: row.ion,
    side: row.channel,
    milliequivalents: milliequivalents(row),
    bound: row.status === "not detected",
  }));
  const titrated = alkalinityOf(water);
  const alkalinity = measured(titrated, "meq/L", { u: 0.01 * titrated });
  parts.push({ ion: "hydrogencarbonate", side: "anion", milliequivalents: alkalinity, bound: false });
  parts.sort((a, b) => b.milliequivalents.value - a.milliequivalents.value);
  const total = (side: Channel): MeasuredValue =>
    combineLinear(
      parts.filter((part) => part.side === side).map((part) => ({ value: part.milliequivalents, factor: 1 })),
      "meq/L",
    );
  const [cations, anions] = [total("cation"), total("anion")];
  const unknown = water.own === undefined ? undefined : measured(0.11, "meq/L", { u: 0.006 });
  const ratio = over(minus(cations, anions), plus(cations, anions));
  const percentDifference = combineLinear([{ value: ratio, factor: 100 }], "%");
  const E = Math.abs(percentDifference.value / percentDifference.u);
  const passed = E <= 3;
  return {
    kind: "sample-balance",
    sample: water.sample,
    cations,
    anions,
    percentDifference,
    unknownAnions: unknown,
    passed,
    suspects: passed
      ? []
      : percentDifference.value > 0
        ? [
            "an anion is missing: alkalinity or organic acids (D is positive)",
            "a cation reads too high: check its dilution",
          ]
        : ["a cation is missing: ammonium lost or H⁺ not counted (D is negative)"],
    parts,
    criteria: [
      {
        source: "difference against its own uncertainty, common practice",
        limit: "|D| at most 2 u(D)",
        passed: E <= 2,
      },
      {
        source: "Standard Methods 1030 E, from memory",
        limit: "±2 % at 3–10 meq/L",
        passed: Math.abs(percentDifference.value) <= 2,
      },
    ],
  };
}

function inventBatch(
  channel: Channel,
  waters: readonly InventedWater[],
  runs: readonly Run[],
  traces: readonly EvaluatedTrace[],
): Batch {
  const methodIons: readonly MethodIon[] = SPECIES[channel].map((each) => ({
    ion: each.name,
    retentionTime: each.time,
    window: 0.25,
    model: each.weak ? "weak" : "linear",
    weighting: "1/x^2",
  }));
  const samples = waters.map(
    (water, index): Sample => ({
      sample: water.sample,
      matrix: "water",
      collectedAt: "2031-03-02T09:30",
      preparation: "direct",
      massGrams: undefined,
      uMassGrams: 0,
      volumeMilliliters: undefined,
      uVolumeMilliliters: 0,
      dryFraction: undefined,
      pH: 7.5,
      conductivity: undefined,
      temperature: undefined,
      alkalinity: 50.04 * alkalinityOf(water),
      unit: "mg/L",
      line: index + 2,
      other: {},
    }),
  );
  return {
    toString: () => `invented ${channel}s`,
    [DISPLAY]() {
      return displayOf(this);
    },
    kind: "batch",
    folder: `datasets/invented-for-tests/${channel}s`,
    method: {
      title: "Does winter road salt reach the village wells?",
      channel,
      detection: "suppressed conductivity",
      eluent: {
        kind: channel === "anion" ? "hydroxide" : "methanesulfonic acid",
        program: [
          [0, 10],
          [6, 10],
          [16, 45],
          [18, 45],
        ],
      },
      holdUpTime: 1.3,
      from: 2,
      to: undefined,
      ions: methodIons,
      notMeasured: channel === "cation" ? ["barium"] : [],
      other: { remark: "invented for tests" },
    },
    injections: runs.map((run) => run.injection),
    solutions: [],
    samples,
    chromatograms: new Map(
      traces.map((trace) => [
        trace.injection.id,
        makeChromatogram({ id: trace.injection.id, time: trace.time, signal: trace.signal, channel }),
      ]),
    ),
    noticed: [{ where: "signals/A004.csv", what: "time given in s, converted to min" }],
    files: [
      "batch.json",
      "worksheet.csv",
      "samples.csv",
      "solutions.csv",
      ...runs.map((run) => run.injection.signal),
    ].map((path, index) => ({
      path,
      sha256: (index + 11).toString(16).padStart(2, "0").repeat(32),
    })),
  };
}
