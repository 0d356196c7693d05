import { IonbookError, isIonbookError } from "../../errors.js";
import { type Ion, ion } from "../../ions/ion-table.js";
import { editDistance } from "../../ions/nearest-names.js";
import type { Channel, Method, MethodIon } from "../types.js";
import { decodeText } from "./decode-text.js";
import { Faults } from "./faults.js";
import { type JsonLines, locateJson } from "./json-lines.js";
import type { MethodFile } from "./method-schema.js";

/** The end of the void's disturbance after the hold-up time where the file gives no `from`, min. */
const AFTER_HOLD_UP = 0.3;

const KNOWN = {
  batch: [
    "title",
    "channel",
    "detection",
    "eluent",
    "holdUpTime",
    "from",
    "to",
    "ions",
    "temperature",
    "flow",
    "remark",
    "notMeasured",
  ],
  ion: ["ion", "retentionTime", "window", "model", "weighting", "range"],
  eluent: ["kind", "program"],
} as const;

/** Keys that `Method` holds under their own name. */
const TYPED: readonly string[] = [
  "title",
  "channel",
  "detection",
  "eluent",
  "holdUpTime",
  "from",
  "to",
  "ions",
  "notMeasured",
];

/**
 * Reads batch.json: the method of one channel. Ions get their IUPAC names; defaults are the model `linear`, the
 * weighting 1/x^2, and `from` 0.3 min after the hold-up time. Unknown keys are kept in `other`; one that is a
 * known key but for a letter is refused.
 *
 * @throws IonbookError listing every fault: `bad-json`, `misspelt-key`, `missing-key`, `bad-value`,
 * `unknown-ion`, `wrong-channel`, `doubled-ion`
 */
export async function readMethod(bytes: Uint8Array, file: string): Promise<Method> {
  const { text } = decodeText(bytes, file);
  const content = parseJson(text, file);
  const lines = locateJson(text);
  const faults = new Faults(file);
  for (const { path, line } of lines.doubled) {
    faults.add("doubled-key", `"${path}" is given twice: keep one`, line, path);
  }
  const other = sortKeys(content, lines, faults);
  const { checkShape } = await import("./method-schema.js");
  const checked = checkShape(content);
  if (!checked.ok) {
    for (const { path, message, isMissing } of checked.faults) {
      const what = isMissing ? `the key "${path}" is missing: add ${example(path)}` : message;
      faults.add(isMissing ? "missing-key" : "bad-value", what, lines.lineOf(path), path);
    }
  }
  faults.throwIfAny();
  const method = checked.ok ? methodOf(checked.file, other, lines, faults) : undefined;
  faults.throwIfAny();
  return method as Method;
}

/** What each key that must be there may look like. */
const EXAMPLES: Readonly<Record<string, string>> = {
  title: '"title": "Wells, late winter"',
  channel: '"channel": "anion" (or "cation")',
  holdUpTime: '"holdUpTime": 1.3 (min)',
  ions: '"ions": [ { "ion": "chloride", "retentionTime": 5.1, "window": 0.25 } ]',
  ion: '"ion": "chloride"',
  retentionTime: '"retentionTime": 5.1 (min)',
  window: '"window": 0.25 (half-width in min)',
  kind: '"kind": "hydroxide"',
};

function example(path: string): string {
  return EXAMPLES[path.slice(path.lastIndexOf(".") + 1)] ?? "it";
}

function parseJson(text: string, file: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch (error) {
    const reason = (error as Error).message;
    const position = Number(/position (\d+)/.exec(reason)?.[1] ?? text.trimEnd().length);
    const line = text.slice(0, position).split("\n").length;
    throw new IonbookError(
      "bad-json",
      "the file is no valid JSON from here on: look for a missing or superfluous comma, quotation mark or " +
        "bracket, or a decimal comma in a number",
      { file, line },
    );
  }
}

type JsonObject = Readonly<Record<string, unknown>>;

function isObject(value: unknown): value is JsonObject {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** Collects what the method has no own field for, and refuses keys that are known ones but for a letter. */
function sortKeys(content: unknown, lines: JsonLines, faults: Faults): Record<string, unknown> {
  if (!isObject(content)) return {};
  const other: Record<string, unknown> = {};
  for (const [key, value] of Object.entries(content)) {
    if (!TYPED.includes(key)) other[key] = value;
    refuseMisspelt(key, key, KNOWN.batch, content, lines, faults);
  }
  const sort = (object: unknown, known: readonly string[], path: string, name: string): void => {
    if (!isObject(object)) return;
    for (const [key, value] of Object.entries(object)) {
      if (!known.includes(key)) other[`${name}.${key}`] = value;
      refuseMisspelt(key, `${path}.${key}`, known, object, lines, faults);
    }
  };
  sort(content.eluent, KNOWN.eluent, "eluent", "eluent");
  if (Array.isArray(content.ions)) {
    content.ions.forEach((entry: unknown, i) => {
      const name = isObject(entry) && typeof entry.ion === "string" ? entry.ion : `ions.${i}`;
      sort(entry, KNOWN.ion, `ions.${i}`, name);
    });
  }
  return other;
}

function refuseMisspelt(
  key: string,
  path: string,
  known: readonly string[],
  object: JsonObject,
  lines: JsonLines,
  faults: Faults,
): void {
  if (known.includes(key)) return;
  const meant = known.find((name) => editDistance(key.toLowerCase(), name.toLowerCase()) <= 1);
  if (meant === undefined) return;
  const mend =
    meant in object ? `"${meant}" is there already: remove or rename this one` : `write "${meant}"`;
  faults.add(
    "misspelt-key",
    `"${key}" is no known key but very like "${meant}": ${mend}`,
    lines.lineOf(path),
    path,
  );
}

function methodOf(
  file: MethodFile,
  other: Readonly<Record<string, unknown>>,
  lines: JsonLines,
  faults: Faults,
): Method {
  const from = file.from ?? file.holdUpTime + AFTER_HOLD_UP;
  const ions = file.ions.map((entry, i): MethodIon => {
    const found = ionOfChannel(entry.ion, file.channel, `ions.${i}.ion`, lines, faults);
    const { retentionTime, window, model, weighting, range } = entry;
    return {
      ion: found?.name ?? entry.ion,
      retentionTime,
      window,
      model,
      weighting,
      ...(range === undefined ? {} : { range }),
    };
  });
  const notMeasured = file.notMeasured.map(
    (name, i) => resolveIon(name, `notMeasured.${i}`, lines, faults)?.name ?? name,
  );
  const method: Method = {
    title: file.title,
    channel: file.channel,
    detection: file.detection,
    ...(file.eluent === undefined
      ? {}
      : {
          eluent: { kind: file.eluent.kind, program: file.eluent.program.map(([t, c]) => [t, c] as const) },
        }),
    holdUpTime: file.holdUpTime,
    from,
    to: file.to,
    ions,
    notMeasured,
    other,
  };
  checkTimes(method, lines, faults);
  checkDoubles(method, lines, faults);
  return method;
}

function resolveIon(name: string, path: string, lines: JsonLines, faults: Faults): Ion | undefined {
  try {
    return ion(name);
  } catch (error) {
    if (!isIonbookError(error)) throw error;
    faults.add(error.code, error.message, lines.lineOf(path), path);
    return undefined;
  }
}

function ionOfChannel(
  name: string,
  channel: Channel,
  path: string,
  lines: JsonLines,
  faults: Faults,
): Ion | undefined {
  const found = resolveIon(name, path, lines, faults);
  if (found === undefined || found.charge > 0 === (channel === "cation")) return found;
  const side = found.charge > 0 ? "a cation" : "an anion";
  faults.add(
    "wrong-channel",
    `${found.name} is ${side}, but the channel is ${channel}: move it to the other channel's folder, or mend "channel"`,
    lines.lineOf(path),
    path,
  );
  return found;
}

function checkTimes(method: Method, lines: JsonLines, faults: Faults): void {
  const { from, to } = method;
  const add = (path: string, message: string): void =>
    faults.add("bad-value", message, lines.lineOf(path), path);
  if (to !== undefined && to <= from)
    add("to", `"to" is ${to} min, not after "from" (${from} min): mend one of them`);
  method.ions.forEach((entry, i) => {
    const { ion: name, retentionTime } = entry;
    if (retentionTime >= from && (to === undefined || retentionTime <= to)) return;
    const stretch = to === undefined ? `from ${from} min on` : `from ${from} to ${to} min`;
    add(
      `ions.${i}.retentionTime`,
      `${name} is expected at ${retentionTime} min, but the record is evaluated ${stretch}: mend one of them`,
    );
  });
  const program = method.eluent?.program ?? [];
  const back = program.findIndex(([time], i) => i > 0 && time < program[i - 1][0]);
  if (back >= 0) {
    add(
      `eluent.program.${back}`,
      `the program goes back to ${program[back][0]} min: put its points in the order of time`,
    );
  }
}

function checkDoubles(method: Method, lines: JsonLines, faults: Faults): void {
  const names = method.ions.map((entry) => entry.ion);
  names.forEach((name, i) => {
    if (names.indexOf(name) === i) return;
    const path = `ions.${i}.ion`;
    faults.add("doubled-ion", `${name} is listed twice: keep one entry`, lines.lineOf(path), path);
  });
  method.notMeasured.forEach((name, i) => {
    if (!names.includes(name)) return;
    const path = `notMeasured.${i}`;
    faults.add(
      "doubled-ion",
      `${name} is both measured and in notMeasured: remove it from one`,
      lines.lineOf(path),
      path,
    );
  });
}
