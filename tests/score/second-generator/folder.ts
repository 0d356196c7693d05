import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Standard } from "./laboratory.js";
import type { ChannelMethod } from "./method.js";
import { stream } from "./random.js";
import { SAMPLE_INTERVAL } from "./record.js";
import { bandOf } from "./retention.js";
import { EXTRACT_U, type PlannedInjection } from "./run-plan.js";
import type { SampleTruth } from "./scenario.js";

/** How a channel's analyst writes: both ways must be read. */
interface Habits {
  readonly separator: string;
  readonly decimalComma: boolean;
  readonly lineEnd: string;
  readonly startOfFile: string;
}

const COMMAS: Habits = { separator: ",", decimalComma: false, lineEnd: "\n", startOfFile: "\uFEFF" };
const SEMICOLONS: Habits = { separator: ";", decimalComma: true, lineEnd: "\r\n", startOfFile: "" };

type Cell = string | number | undefined;

function table(habits: Habits, header: readonly string[], rows: readonly (readonly Cell[])[]): string {
  const cell = (value: Cell): string => {
    if (value === undefined) return "";
    if (typeof value === "number")
      return habits.decimalComma ? String(value).replace(".", ",") : String(value);
    return /[",;\n]/.test(value) ? `"${value.replaceAll('"', '""')}"` : value;
  };
  const lines = [header, ...rows].map((row) => row.map(cell).join(habits.separator));
  return habits.startOfFile + lines.join(habits.lineEnd) + habits.lineEnd;
}

function rounded(value: number, digits = 5): number {
  return Number(value.toPrecision(digits));
}

function methodText(method: ChannelMethod): string {
  const { title, channel, eluentKind, program, holdUp, from, end, flow, targets, notMeasured } = method;
  const ions = targets.map((ion) => {
    const { centre } = bandOf(method, ion);
    return {
      ion: ion.name,
      retentionTime: Number((centre + 0.03).toFixed(2)),
      window: ion.window,
      model: ion.model,
      weighting: "1/x^2",
    };
  });
  const text = {
    title,
    channel,
    detection: "suppressed conductivity",
    eluent: { kind: eluentKind, program },
    holdUpTime: holdUp,
    from,
    to: end,
    flow,
    remark: "invented data",
    notMeasured,
    ions,
  };
  return `${JSON.stringify(text, null, 2)}\n`;
}

/** mg/L of the ion over mg/L of the element its stock is certified as. */
const AS_ELEMENT: Readonly<Record<string, { readonly unit: string; readonly factor: number }>> = {
  ammonium: { unit: "mg/L as N", factor: 18.039 / 14.007 },
};

function solutionRows(standards: readonly Standard[]): Cell[][] {
  return standards.flatMap(({ name, ions }) =>
    ions.map(({ ion, stated, u, uStock, stock }): Cell[] => {
      const element = AS_ELEMENT[ion];
      const micro = element === undefined && stated < 0.2;
      const per = element ? 1 / element.factor : micro ? 1000 : 1;
      const unit = element ? element.unit : micro ? "µg/L" : "mg/L";
      return [name, ion, rounded(stated * per, 10), unit, rounded(u * per), stock, rounded(uStock * per)];
    }),
  );
}

function sampleRows(seed: number, samples: readonly SampleTruth[]): Cell[][] {
  return samples.map(({ plan, extract, alkalinity }): Cell[] => {
    const random = stream(seed, "field book", plan.name);
    const day = `2025-0${random.whole(3, 5)}-${String(random.whole(10, 28))}`;
    const unit = extract ? (plan.extract?.dryBasis ? "mg/kg dry" : "mg/kg") : "mg/L";
    const pH =
      alkalinity === undefined || random.chance(0.3)
        ? undefined
        : alkalinity > 10
          ? rounded(random.between(7.0, 7.8), 2)
          : rounded(random.between(5.9, 6.4), 2);
    return [
      plan.name,
      plan.matrix,
      day,
      extract ? "extract" : "direct",
      extract?.mass,
      extract && EXTRACT_U.mass,
      extract?.volume,
      extract && EXTRACT_U.volume,
      plan.extract?.dryFraction,
      pH,
      undefined,
      undefined,
      alkalinity === undefined ? undefined : rounded(alkalinity * (1 + 0.01 * random.normal()), 3),
      unit,
    ];
  });
}

const SAMPLE_HEADER =
  "sample,matrix,collected_at,preparation,mass_g,u_mass_g,volume_mL,u_volume_mL,dry_fraction,pH,conductivity_uS_cm,temperature_C,alkalinity_mg_L_CaCO3,unit".split(
    ",",
  );
const WORKSHEET_HEADER = "injection,signal,injected_at,kind,solution,dilution,u_dilution,parent,remark".split(
  ",",
);
const SOLUTION_HEADER = "solution,ion,concentration,unit,u,stock,u_stock".split(",");

function signalName(method: ChannelMethod, id: string): string {
  return `signals/${id}.${method.channel === "anion" ? "csv" : "txt"}`;
}

/** Minutes and µS/cm with commas on the anion channel; seconds and nS/cm with tabs on the cation channel. */
export function signalText(method: ChannelMethod, signal: Float64Array): string {
  const lines: string[] = new Array(signal.length + 1);
  if (method.channel === "anion") {
    lines[0] = "time (min),conductivity (µS/cm)";
    for (let i = 0; i < signal.length; i++)
      lines[i + 1] = `${((i * SAMPLE_INTERVAL) / 60).toFixed(6)},${signal[i].toFixed(5)}`;
  } else {
    lines[0] = "time (s)\tconductivity (nS/cm)";
    for (let i = 0; i < signal.length; i++)
      lines[i + 1] = `${(i * SAMPLE_INTERVAL).toFixed(1)}\t${(signal[i] * 1000).toFixed(2)}`;
  }
  return `${lines.join("\n")}\n`;
}

function worksheetRows(
  seed: number,
  method: ChannelMethod,
  injections: readonly PlannedInjection[],
): Cell[][] {
  const start = Date.UTC(2025, 5, 2 + (seed % 20), 8, 5);
  const minutes = Math.ceil(method.end) + 3;
  return injections.map(({ id, kind, solution, dilution, uDilution, parent }, i): Cell[] => [
    id,
    signalName(method, id),
    new Date(start + i * minutes * 60000).toISOString().replace(".000Z", "Z"),
    kind,
    solution,
    dilution,
    uDilution === undefined ? undefined : rounded(uDilution),
    parent,
    kind === "blank" && i === 0 ? "first of the day" : undefined,
  ]);
}

/** Writes the channel's folder without its signals. */
export function writeTables(
  folder: string,
  seed: number,
  method: ChannelMethod,
  standards: readonly Standard[],
  injections: readonly PlannedInjection[],
  samples: readonly SampleTruth[],
): void {
  mkdirSync(join(folder, "signals"), { recursive: true });
  const habits = method.channel === "anion" ? COMMAS : SEMICOLONS;
  writeFileSync(join(folder, "batch.json"), methodText(method));
  writeFileSync(
    join(folder, "worksheet.csv"),
    table(COMMAS, WORKSHEET_HEADER, worksheetRows(seed, method, injections)),
  );
  writeFileSync(join(folder, "solutions.csv"), table(habits, SOLUTION_HEADER, solutionRows(standards)));
  writeFileSync(join(folder, "samples.csv"), table(COMMAS, SAMPLE_HEADER, sampleRows(seed, samples)));
}

/** Writes one record. */
export function writeSignal(folder: string, method: ChannelMethod, id: string, signal: Float64Array): void {
  writeFileSync(join(folder, signalName(method, id)), signalText(method, signal));
}
