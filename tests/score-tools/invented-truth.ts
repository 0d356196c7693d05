import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { stream } from "../score/second-generator/random.js";
import type { InvestigationTruth, TruePeak, TrueSampleValue } from "../score/truth.js";

const IONS = ["chloride", "nitrate", "sulfate"] as const;
const TIMES = { chloride: 5, nitrate: 9, sulfate: 13, stranger: 9.3 } as const;
const NOISE = 1e-3;

function peakAt(
  injection: string,
  name: string,
  kind: TruePeak["kind"],
  time: number,
  height: number,
): TruePeak {
  return {
    injection,
    name,
    kind,
    retentionTime: time,
    height,
    area: height * 0.2,
    widthHalf: 0.18,
    visible: true,
  };
}

/** A made-up truth of 150 samples without any chemistry: every fifth lacks nitrate, every third holds a stranger. */
export function inventedTruth(): InvestigationTruth {
  const samples: TrueSampleValue[] = [];
  const peaks: TruePeak[] = [];
  const injections: string[] = [];
  for (let i = 0; i < 150; i++) {
    const sample = `S${i}`;
    const injection = `A${i}`;
    injections.push(injection);
    for (const ion of IONS) {
      const value = ion === "nitrate" && i % 5 === 0 ? 0 : 2 + (i % 7);
      samples.push({ sample, ion, value, unit: "mg/L", preparationFactor: 1, dilutions: [1, 10] });
      if (value > 0) peaks.push(peakAt(injection, ion, "target", TIMES[ion], value));
    }
    if (i % 3 === 0) peaks.push(peakAt(injection, "stranger", "unknown", TIMES.stranger, 0.05));
    peaks.push(peakAt(injection, "carbonate", "system", 11, 0.1));
  }
  return {
    generator: "made up",
    seed: 1,
    batches: [{ channel: "anion", folder: "", ions: IONS, injections, samples, peaks, noise: NOISE }],
  };
}

/** Ways in which an evaluation can be wrong, one at a time. */
export interface Faults {
  /** Stated u over real scatter. */
  readonly honesty?: number;
  /** Real scatter, relative. */
  readonly scatter?: number;
  readonly quantifyAbsent?: boolean;
  readonly missOne?: boolean;
  readonly aboveRange?: boolean;
  readonly nameStranger?: boolean;
  readonly loseStranger?: boolean;
  readonly wanderingName?: boolean;
  readonly inventPeaks?: boolean;
  readonly dropRow?: boolean;
  readonly wrongUnit?: boolean;
}

function resultLines(truth: InvestigationTruth, faults: Faults): string[] {
  const { honesty = 1, scatter = 0.01 } = faults;
  const random = stream(1, "made-up results");
  return truth.batches[0].samples.map(({ sample, ion, value, unit }, i) => {
    const absent = value === 0;
    const real = absent ? 0.003 : scatter * value;
    const found = value + real * random.normal();
    const u = real * honesty;
    let status = absent && !(faults.quantifyAbsent && sample === "S10") ? "not detected" : "quantified";
    if (faults.missOne && i === 4) status = "below quantification";
    if (faults.aboveRange && i === 4) status = "above range";
    const given = faults.wrongUnit && i === 4 ? "mg/kg" : unit;
    return [
      sample,
      ion,
      found,
      given,
      u,
      50,
      found - 1.96 * u,
      found + 1.96 * u,
      status,
      1,
      sample.replace("S", "A"),
      "",
    ].join(",");
  });
}

function peakLines(truth: InvestigationTruth, faults: Faults): string[] {
  const random = stream(1, "made-up peaks");
  const lines = truth.batches[0].peaks.flatMap(
    ({ injection, name, kind, retentionTime, area, height }, i) => {
      const names = {
        target: name,
        unknown: faults.wanderingName && i % 2 ? "unknown-2" : "unknown-1",
        system: "system-1",
      };
      if (kind === "unknown" && faults.loseStranger && injection === "A3") return [];
      const ion = kind === "unknown" && faults.nameStranger && injection === "A3" ? "nitrate" : names[kind];
      const time = retentionTime + 0.005 * random.normal();
      return [
        [
          injection,
          ion,
          time,
          area,
          0.01 * area,
          height,
          0.18,
          1.1,
          "",
          (2 * height) / (6 * NOISE),
          "supported",
        ].join(","),
      ];
    },
  );
  for (let i = 0; faults.inventPeaks && i < 20; i++)
    lines.push(`A${i},unknown-3,7,0.001,0.0001,0.005,0.18,1.1,,4,unknown`);
  return lines;
}

/** Writes the files an evaluation with these faults would write. */
export function writeInventedResults(folder: string, truth: InvestigationTruth, faults: Faults = {}): void {
  mkdirSync(folder, { recursive: true });
  const write = (file: string, header: string, lines: readonly string[]) =>
    writeFileSync(join(folder, file), `${[header, ...lines].join("\n")}\n`);
  const results = resultLines(truth, faults);
  write(
    "results.csv",
    "sample,ion,value,unit,u,dof,low95,high95,status,dilution,injection,flags",
    faults.dropRow ? results.slice(1) : results,
  );
  write(
    "peaks.csv",
    "injection,ion,retention_time,area,u_area,height,width_half,tailing,resolution_next,signal_to_noise,identity",
    peakLines(truth, faults),
  );
  write(
    "calibration.csv",
    "ion,model,weighting,b0,b1,b2,u_b0,u_b1,u_b2,residual_sd,dof,low,high,lod,loq,mdl,verdict",
    IONS.map((ion) => `${ion},linear,1/x^2,0,1,,0,0.01,,0.01,10,0.1,20,0.01,0.1,,accepted`),
  );
}
