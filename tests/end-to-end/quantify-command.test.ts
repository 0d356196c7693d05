// The command as a script would call it: a process of its own, on the invented demonstration data. What is only refused
// is asked for in one process, one call after the other.
import { spawnSync } from "node:child_process";
import {
  cpSync,
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { parse } from "csv-parse/sync";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { callsInOneProcess, type Done } from "./calls-in-one-process.js";

const ROOT = fileURLToPath(new URL("../../", import.meta.url));
const DATA = join(ROOT, "datasets", "road-salt-in-wells");
const place = mkdtempSync(join(tmpdir(), "ionbook-command-"));
afterAll(() => rmSync(place, { recursive: true, force: true }));

function ionbook(...args: readonly string[]) {
  const { NO_COLOR: _, IONBOOK_DEBUG: __, ...env } = process.env;
  const done = spawnSync(process.execPath, [join(ROOT, "toolkit", "bin", "ionbook.js"), ...args], {
    cwd: place,
    encoding: "utf8",
    env,
  });
  return { code: done.status, out: done.stdout, err: done.stderr };
}

/** Columns of the contract, letter by letter. */
const COLUMNS: Readonly<Record<string, string>> = {
  "results.csv": "sample,ion,value,unit,u,dof,low95,high95,status,dilution,injection,flags",
  "peaks.csv":
    "injection,ion,retention_time,area,u_area,height,width_half,tailing,resolution_next,signal_to_noise,identity",
  "calibration.csv":
    "ion,model,weighting,b0,b1,b2,u_b0,u_b1,u_b2,residual_sd,dof,low,high,lod,loq,mdl,verdict",
  "checks.csv": "check,injection,ion,found,expected,limit,passed,source",
  "balance.csv":
    "sample,cations_meq_L,anions_meq_L,percent_difference,u_percent,unknown_anions_meq_L,passed,suspects",
};

type Row = Readonly<Record<string, string>>;
const rowsOf = (file: string): readonly Row[] => parse(readFileSync(file, "utf8"), { columns: true });

describe("both channels of the demonstration data", () => {
  const out = join(place, "both");
  let run: ReturnType<typeof ionbook>;
  beforeAll(() => {
    run = ionbook("quantify", join(DATA, "anions"), join(DATA, "cations"), "--out", out);
  }, 60_000);

  it("end with exit code 0 and a summary under 15 lines that says where", () => {
    expect(run.code).toBe(0);
    expect(run.out.trim().split("\n").length).toBeLessThan(15);
    expect(run.out).toContain(out);
    expect(run.out).toContain("invented");
  });

  it("give every file and nothing else", () => {
    expect(readdirSync(out).sort()).toEqual([...Object.keys(COLUMNS), "report.html"].sort());
  });

  it.each(Object.entries(COLUMNS))("%s has the columns of the contract", (file, columns) => {
    const lines = readFileSync(join(out, file), "utf8").split("\n");
    expect(lines[0]).toBe(columns);
    expect(lines.length).toBeGreaterThan(3);
  });

  it("every sample and ion has one row, with value, u and interval unless not measured", () => {
    const rows = rowsOf(join(out, "results.csv"));
    const samples = rowsOf(join(DATA, "anions", "samples.csv")).map((row) => row.sample);
    const ions = ["anions", "cations"].flatMap((channel) => {
      const method = JSON.parse(readFileSync(join(DATA, channel, "batch.json"), "utf8"));
      return [...method.ions.map((each: { ion: string }) => each.ion), ...(method.notMeasured ?? [])];
    });
    const keys = rows.map((row) => `${row.sample}|${row.ion}`);
    expect(new Set(keys).size).toBe(keys.length);
    for (const sample of samples) for (const ion of new Set(ions)) expect(keys).toContain(`${sample}|${ion}`);
    for (const row of rows) {
      const numbers = [row.value, row.u, row.low95, row.high95];
      if (row.status === "not measured") expect(numbers).toEqual(["", "", "", ""]);
      else for (const text of numbers) expect(text).toMatch(/^-?\d+(\.\d+)?(e-\d+)?$/);
    }
  });

  it("states, identities and outcomes use only the words of the contract", () => {
    const states = ["quantified", "below quantification", "not detected", "above range", "not measured"];
    for (const row of rowsOf(join(out, "results.csv"))) expect(states).toContain(row.status);
    const identities = ["confirmed", "supported", "tentative", "ambiguous", "unknown", "system"];
    for (const row of rowsOf(join(out, "peaks.csv"))) expect(identities).toContain(row.identity);
    for (const row of rowsOf(join(out, "checks.csv"))) expect(["true", "false"]).toContain(row.passed);
  });

  it("the report loads nothing from elsewhere and says that the data are invented", () => {
    const page = readFileSync(join(out, "report.html"), "utf8");
    expect(page.match(/(?:src|href)\s*=\s*["']?(?:https?:)?\/\/[^"'\s]*/gi)).toBeNull();
    expect(/invented demonstration data/i.test(page)).toBe(true);
  });

  it("are not written over what is there", () => {
    const marked = join(out, "results.csv");
    const before = readFileSync(marked, "utf8");
    writeFileSync(marked, "mine\n");
    const again = ionbook("quantify", join(DATA, "anions"), join(DATA, "cations"), "--out", out);
    expect(again.code).toBe(1);
    expect(again.err).toContain("--force");
    expect(readFileSync(marked, "utf8")).toBe("mine\n");
    writeFileSync(marked, before);
  });
});

describe("one channel alone", () => {
  it("gives no balance, and is written over what is there where that is asked for", () => {
    const out = join(place, "new", "one");
    mkdirSync(out, { recursive: true });
    writeFileSync(join(out, "results.csv"), "mine\n");
    expect(ionbook("quantify", join(DATA, "cations"), `--out=${out}`, "--force").code).toBe(0);
    expect(readFileSync(join(out, "results.csv"), "utf8").startsWith(COLUMNS["results.csv"])).toBe(true);
    expect(existsSync(join(out, "balance.csv"))).toBe(false);
  });
});

/** A change to one file of the anion folder, and what the message must say. */
interface Fault {
  readonly name: string;
  readonly file: string;
  readonly change: (text: string) => string | undefined;
  readonly says: readonly RegExp[];
}

/** Replaces the n-th cell of a line, both counted from 1. */
function cell(line: number, column: number, value: string) {
  return (text: string) => {
    const lines = text.split("\n");
    const cells = lines[line - 1].split(",");
    cells[column - 1] = value;
    lines[line - 1] = cells.join(",");
    return lines.join("\n");
  };
}

const LEVEL_LINE = 2;
const FAULTS: readonly Fault[] = [
  { name: "a missing signal file", file: "signals/A003.csv", change: () => undefined, says: [/A003\.csv/] },
  { name: "an empty signal file", file: "signals/A003.csv", change: () => "", says: [/empty/, /A003\.csv/] },
  {
    name: "a cut-off row in a signal",
    file: "signals/A003.csv",
    change: (text) => text.slice(0, Math.floor(text.length / 2)).replace(/\n[^\n]*$/, "\n300.0,"),
    says: [/A003\.csv/, /line \d+/],
  },
  {
    name: "a time axis that runs back",
    file: "signals/A003.csv",
    change: cell(200, 1, "0.1"),
    says: [/time/, /A003\.csv/],
  },
  {
    name: "a word in a number",
    file: "signals/A003.csv",
    change: cell(200, 2, "high"),
    says: [/"high"/, /line 200/],
  },
  {
    name: "an unknown ion",
    file: "solutions.csv",
    change: cell(LEVEL_LINE, 2, "chlorid"),
    says: [/chlorid/, /line 2/, /"ion"/],
  },
  {
    name: "an unknown unit",
    file: "solutions.csv",
    change: cell(LEVEL_LINE, 4, "ppq"),
    says: [/ppq/, /line 2/],
  },
  {
    name: "a negative concentration",
    file: "solutions.csv",
    change: cell(LEVEL_LINE, 3, "-0.5"),
    says: [/-0\.5/, /line 2/],
  },
  {
    name: "an unknown kind",
    file: "worksheet.csv",
    change: cell(3, 4, "standart"),
    says: [/standart/, /line 3/],
  },
  {
    name: "a dilution of zero",
    file: "worksheet.csv",
    change: cell(3, 6, "0"),
    says: [/dilution/, /line 3/],
  },
  {
    name: "a duplicate injection",
    file: "worksheet.csv",
    change: cell(3, 1, "A001"),
    says: [/A001/, /line 3/],
  },
  {
    name: "a path out of the folder",
    file: "worksheet.csv",
    change: cell(3, 2, "../cations/signals/C002.csv"),
    says: [/\.\.\/cations/, /line 3/],
  },
  {
    name: "a missing column",
    file: "worksheet.csv",
    change: (text) => text.replace("injected_at", "when"),
    says: [/injected_at/],
  },
  {
    name: "a standard without values",
    file: "solutions.csv",
    change: (text) => text.replace(/^L3,.*\n/gm, ""),
    says: [/L3/, /worksheet\.csv/],
  },
  {
    name: "no calibration at all",
    file: "worksheet.csv",
    change: (text) => text.replaceAll(",calibration,", ",blank,"),
    says: [/calibration/],
  },
  {
    name: "a method that is no JSON",
    file: "batch.json",
    change: (text) => text.slice(0, 90),
    says: [/batch\.json/],
  },
];

/** The anion folder as it stands, the file of the fault changed; its other files are those of `whole`, not copied again. */
function faultyFolder(whole: string, { file, change }: Fault, at: string): string {
  mkdirSync(join(at, "signals"), { recursive: true });
  const files = readdirSync(whole, { recursive: true, withFileTypes: true }).filter((each) => each.isFile());
  for (const { parentPath, name } of files) {
    const path = relative(whole, join(parentPath, name));
    if (path !== file) linkSync(join(whole, path), join(at, path));
  }
  const before = readFileSync(join(whole, file), "utf8");
  const after = change(before);
  expect(after).not.toBe(before);
  if (after !== undefined) writeFileSync(join(at, file), after);
  return at;
}

describe("bad input ends with exit code 1, one message and nothing written", () => {
  const whole = join(place, "anions");
  const parent = join(place, "refused");
  let calls: readonly (readonly string[])[];
  let refused: readonly Done[];
  beforeAll(() => {
    cpSync(join(DATA, "anions"), whole, { recursive: true });
    mkdirSync(parent);
    calls = FAULTS.map((fault, index) => {
      const folder = faultyFolder(whole, fault, join(place, `fault-${index}`));
      return ["quantify", folder, "--out", join(parent, `results-${index}`)];
    });
    refused = callsInOneProcess(calls, place);
  }, 30_000);

  it.each(FAULTS.map((fault, index) => ({ ...fault, index })))("$name", ({ says, index }) => {
    const { code, out, err } = refused[index];
    expect(code, err).toBe(1);
    expect(readdirSync(parent).filter((name) => name.includes(`results-${index}`))).toEqual([]);
    expect(out).toBe("");
    for (const each of says) expect(err).toMatch(each);
    expect(err).not.toMatch(/\n\s+at |IonbookError|undefined|node:internal|fault of the program/);
  });

  it("nothing at all is left where the results would be", () => {
    expect(readdirSync(parent)).toEqual([]);
  });

  it("as a process of its own does the same", () => {
    expect(ionbook(...calls[0])).toEqual(refused[0]);
  });
});

/** Calls that cannot be meant, and what the message must say. */
const MISTAKES: readonly { readonly args: readonly string[]; readonly says: RegExp }[] = [
  { args: ["quantify"], says: /folder/ },
  { args: ["quantify", "nowhere", "--out", "x"], says: /no such folder.*nowhere/ },
  { args: ["quantify", DATA], says: /--out/ },
  { args: ["quantify", DATA, "--out"], says: /--out needs a value/ },
  { args: ["quantify", DATA, "--out", "x", "--farce"], says: /--farce/ },
  { args: ["quantify", DATA, "--out", "x", "--force=yes"], says: /takes no value/ },
  {
    args: ["quantify", join(DATA, "anions"), join(DATA, "anions"), "--out", "x"],
    says: /two anion batches/,
  },
  { args: ["quantfy"], says: /no command "quantfy"[\s\S]*ionbook quantify/ },
  { args: ["toString"], says: /no command/ },
  { args: ["demo", "folder"], says: /quantify/ },
];

describe("a call that cannot be meant", () => {
  let refused: readonly Done[];
  beforeAll(() => {
    const calls = MISTAKES.map(({ args }) => args);
    refused = callsInOneProcess(calls, place);
  }, 30_000);

  it.each(MISTAKES.map((mistake, index) => ({ ...mistake, index })))(
    "$args.0 $args.1 $args.2 $args.3",
    ({ says, index }) => {
      const { code, err } = refused[index];
      expect(code).toBe(1);
      expect(err).toMatch(says);
      expect(err).not.toMatch(/\n\s+at /);
      expect(existsSync(join(place, "x"))).toBe(false);
    },
  );

  it("as a process of its own is told the same", () => {
    expect(ionbook(...MISTAKES[0].args)).toEqual(refused[0]);
  });

  it("--help and --version say what they should and end with 0", () => {
    const help = ionbook("--help");
    expect([help.code, help.err]).toEqual([0, ""]);
    expect(help.out).toMatch(/quantify FOLDER/);
    const { version } = JSON.parse(readFileSync(join(ROOT, "toolkit", "package.json"), "utf8"));
    expect(ionbook("--version").out.trim()).toBe(version);
  });
});
