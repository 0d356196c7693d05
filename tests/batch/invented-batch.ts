import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterAll } from "vitest";

/** A batch's files by path: small, sound and invented, for tests of reading to put one fault into. */
export type BatchFiles = Map<string, string | Uint8Array>;

const METHOD = `{
  "title": "Invented wells",
  "channel": "anion",
  "detection": "suppressed conductivity",
  "eluent": { "kind": "hydroxide", "program": [[0, 10], [6, 10], [9, 45]] },
  "holdUpTime": 1.3,
  "to": 10,
  "remark": "invented",
  "ions": [
    { "ion": "Cl-", "retentionTime": 4.1, "window": 0.25, "model": "quadratic" },
    { "ion": "nitrate", "retentionTime": 6.5, "window": 0.3, "weighting": "1/x" }
  ],
  "notMeasured": ["hydrogencarbonate"]
}
`;

const WORKSHEET = `injection,signal,injected_at,kind,solution,dilution,u_dilution,parent,remark
A1,signals/A1.csv,2025-02-14T08:00:00Z,blank,,1,,,
A2,signals/A2.csv,2025-02-14T08:15:00Z,calibration,level 1,1,,,
A3,signals/A3.csv,2025-02-14T08:30:00Z,calibration,level 2,1,,,
A4,signals/A4.csv,2025-02-14T08:45:00Z,continuing check,check,1,,,
A5,signals/A5.csv,2025-02-14T09:00:00Z,sample,well,10,0.02,,"north, deep"
A6,signals/A6.csv,2025-02-14T09:15:00Z,duplicate,well,10,0.02,A5,
A7,signals/A7.csv,2025-02-14T09:30:00Z,matrix spike,spike,10,0.02,A5,
A8,signals/A8.csv,2025-02-14T09:45:00Z,sample,leaf,1,,,
`;

const SOLUTIONS = `solution,ion,concentration,unit,u,stock,u_stock
level 1,chloride,0.5,mg/L,0.004,stock A,0.003
level 1,nitrate,0.1,mg/L as N,0.001,stock A,
level 2,chloride,5,mg/L,0.03,,
level 2,nitrate,4000,µg/L,20,stock A,15
check,chloride,2,mg/L,0.02,stock B,
spike,chloride,3,mg/L,0.02,stock B,
`;

const SAMPLES = `sample,matrix,collected_at,preparation,mass_g,u_mass_g,volume_mL,u_volume_mL,dry_fraction,pH,conductivity_uS_cm,temperature_C,alkalinity_mg_L_CaCO3,unit,site
well,groundwater,2025-02-13,direct,,,,,,7.2,512,9.5,180,mg/L,north
leaf,plant,,extract,5.000,0.002,100,0.1,0.276,,,,,mg/kg dry,
`;

/** An invented record: a slow rise with one bump, 0 to 10 min, 301 points. */
export function inventedSignal(seed: number): string {
  const rows = ["time/min,conductivity/(µS/cm)"];
  for (let i = 0; i <= 300; i++) {
    const time = i / 30;
    const bump = (1 + seed / 7) * Math.exp(-(((time - 4.1) / 0.11) ** 2));
    rows.push(`${time.toFixed(4)},${(0.8 + 0.01 * time + bump).toFixed(5)}`);
  }
  return `${rows.join("\n")}\n`;
}

/** A sound batch. */
export function inventedBatch(): BatchFiles {
  const files: BatchFiles = new Map([
    ["batch.json", METHOD],
    ["worksheet.csv", WORKSHEET],
    ["solutions.csv", SOLUTIONS],
    ["samples.csv", SAMPLES],
  ]);
  for (let i = 1; i <= 8; i++) files.set(`signals/A${i}.csv`, inventedSignal(i));
  return files;
}

/** Replaces a text of a file that must be there. */
export function edit(files: BatchFiles, file: string, from: string | RegExp, to: string): void {
  const text = files.get(file);
  if (typeof text !== "string") throw new Error(`${file} is no text of the batch`);
  const edited = text.replace(from, to);
  if (edited === text) throw new Error(`${from} does not occur in ${file}`);
  files.set(file, edited);
}

const made: string[] = [];

/** A folder of its own for one test, removed when the tests of the file are over. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "ionbook-"));
  made.push(folder);
  return folder;
}

/** Writes files into a folder of their own and returns its path. */
export function folderOf(files: ReadonlyMap<string, string | Uint8Array>): string {
  const folder = temporaryFolder();
  for (const [name, content] of files) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), content);
  }
  return folder;
}

/** Writes one file into a folder of its own and returns the file's path. */
export function fileOf(name: string, content: string | Uint8Array): string {
  return join(folderOf(new Map([[name, content]])), name);
}

afterAll(() => {
  for (const folder of made.splice(0)) rmSync(folder, { recursive: true, force: true });
});
