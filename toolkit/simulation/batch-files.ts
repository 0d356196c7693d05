import type { Scenario, ScenarioChannel, ScenarioInjection, ScenarioWater } from "./scenario.js";
import { type DrawnSample, deviate } from "./true-liquids.js";

/** One row of the worksheet with the names it gets on disk. */
export interface WorksheetRow {
  readonly id: string;
  readonly signal: string;
  readonly injectedAt: string;
  readonly parentId: string;
  readonly scenario: ScenarioInjection;
}

type Cell = string | number | undefined;

/** Stated errors of what the field kit and the titration give. */
const STATED = { pH: 0.03, conductivity: 0.005, alkalinity: 0.01 };

/** Ids, file names, times and parents of a channel's injections, in run order. */
export function worksheetRows({
  folder,
  worksheet,
  startedAt,
  cycle,
}: ScenarioChannel): readonly WorksheetRow[] {
  const letter = folder[0].toUpperCase();
  const start = Date.parse(`${startedAt}Z`);
  const ids = worksheet.map((_, i) => `${letter}${String(i + 1).padStart(3, "0")}`);
  return worksheet.map((scenario, i) => {
    const id = ids[i];
    return {
      id,
      signal: `signals/${id}.csv`,
      injectedAt: new Date(start + i * cycle * 60_000).toISOString().slice(0, 19),
      parentId: ids[parentRow(worksheet, i)] ?? "",
      scenario,
    };
  });
}

/** The injection of the sample that a duplicate or spike belongs to: before it, of the same dilution where there is one. */
function parentRow(worksheet: readonly ScenarioInjection[], row: number): number {
  const { parent, dilution = 1 } = worksheet[row];
  const before = worksheet.slice(0, row);
  const isParent = ({ kind, solution }: ScenarioInjection): boolean =>
    kind === "sample" && solution === parent;
  const alike = before.findIndex((each) => isParent(each) && (each.dilution ?? 1) === dilution);
  return alike >= 0 ? alike : before.findIndex(isParent);
}

export function worksheetText(rows: readonly WorksheetRow[], relativeUDilution: number): string {
  const header = "injection,signal,injected_at,kind,solution,dilution,u_dilution,parent,remark".split(",");
  return csv(
    header,
    rows.map(({ id, signal, injectedAt, parentId, scenario }) => {
      const dilution = scenario.dilution ?? 1;
      const u = dilution > 1 ? rounded(dilution * relativeUDilution) : undefined;
      return [
        id,
        signal,
        injectedAt,
        scenario.kind,
        scenario.solution,
        dilution,
        u,
        parentId,
        scenario.remark,
      ];
    }),
  );
}

export function solutionsText({ stocks, solutions }: ScenarioChannel): string {
  const certificate = new Map(stocks.map(({ stock, relativeU }) => [stock, relativeU]));
  const header = "solution,ion,concentration,unit,u,stock,u_stock".split(",");
  return csv(
    header,
    solutions.flatMap(({ solution, ions, relativeU }) =>
      ions.map(({ ion, concentration, stock }) => {
        const shared = certificate.get(stock) ?? 0;
        const u = rounded(concentration * Math.hypot(shared, relativeU));
        return [solution, ion, concentration, "mg/L", u, stock, rounded(concentration * shared)];
      }),
    ),
  );
}

/** samples.csv: what the field book and the balance say, which is near the truth and not the truth. */
export function samplesText(drawn: readonly DrawnSample[], seed: number | string): string {
  const header =
    "sample,site,period,matrix,collected_at,preparation,mass_g,u_mass_g,volume_mL,u_volume_mL,dry_fraction,pH,conductivity_uS_cm,temperature_C,alkalinity_mg_L_CaCO3,u_alkalinity_mg_L_CaCO3,unit".split(
      ",",
    );
  return csv(
    header,
    drawn.map(({ scenario, truth }) => [
      scenario.sample,
      scenario.site,
      scenario.period,
      scenario.matrix,
      scenario.collectedAt,
      scenario.preparation.kind,
      ...preparationCells(scenario.preparation),
      ...waterCells(scenario.sample, truth, isTitrated(scenario.water), seed),
      scenario.unit,
    ]),
  );
}

function preparationCells(preparation: DrawnSample["scenario"]["preparation"]): readonly Cell[] {
  if (preparation.kind === "direct") return [undefined, undefined, undefined, undefined, undefined];
  const { massGrams, uMassGrams, volumeMilliliters, uVolumeMilliliters, dryFraction } = preparation;
  return [massGrams, uMassGrams, volumeMilliliters, uVolumeMilliliters, dryFraction];
}

function isTitrated(water: ScenarioWater | undefined): boolean {
  return water?.closing === "alkalinity" || water?.titratedTo !== undefined;
}

function waterCells(
  sample: string,
  truth: DrawnSample["truth"],
  titrated: boolean,
  seed: number | string,
): readonly Cell[] {
  const { pH, conductivity, alkalinity } = truth;
  if (pH === undefined || conductivity === undefined || alkalinity === undefined) {
    return [undefined, undefined, undefined, undefined, undefined];
  }
  const read = (what: string): number => deviate(seed, "stated", what, sample);
  const u = Number((STATED.alkalinity * alkalinity).toPrecision(2));
  return [
    Number((pH + STATED.pH * read("pH")).toFixed(2)),
    Number((conductivity * (1 + STATED.conductivity * read("conductivity"))).toPrecision(4)),
    25,
    titrated ? Number((alkalinity + u * read("alkalinity")).toFixed(1)) : undefined,
    titrated ? u : undefined,
  ];
}

export function methodText(
  channel: ScenarioChannel,
  { remark }: Scenario,
  apexes: ReadonlyMap<string, number>,
): string {
  const { title, instrument, method, notMeasured } = channel;
  const content = {
    title,
    channel: instrument.channel,
    detection: "suppressed conductivity",
    eluent: { kind: instrument.eluent, program: instrument.program },
    holdUpTime: instrument.holdUpTime,
    from: 2,
    to: instrument.runTime,
    flow: instrument.flow,
    ions: method.map(({ ion, window, model, weighting }) => ({
      ion,
      retentionTime: Number((apexes.get(ion) ?? 0).toFixed(2)),
      window,
      model,
      weighting,
    })),
    ...(notMeasured.length > 0 && { notMeasured }),
    remark,
  };
  return `${JSON.stringify(content, null, 2)}\n`;
}

/** A record as delimited text: time in s, conductivity in the channel's unit to the last bit of the digitiser. */
export function signalText(signal: Float64Array, samplingRate: number, unit: "µS/cm" | "nS/cm"): string {
  const factor = unit === "µS/cm" ? 1 : 1000;
  const digits = unit === "µS/cm" ? 5 : 2;
  const lines = new Array<string>(signal.length + 2);
  lines[0] = `time (s),conductivity (${unit})`;
  for (let i = 0; i < signal.length; i++) {
    lines[i + 1] = `${(i / samplingRate).toFixed(1)},${(factor * signal[i]).toFixed(digits)}`;
  }
  lines[signal.length + 1] = "";
  return lines.join("\n");
}

function csv(header: readonly string[], rows: readonly (readonly Cell[])[]): string {
  return [header, ...rows].map((row) => `${row.map(cellText).join(",")}\n`).join("");
}

function cellText(cell: Cell): string {
  const text = cell === undefined ? "" : String(cell);
  return /[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

function rounded(value: number): number {
  return Number(value.toPrecision(4));
}
