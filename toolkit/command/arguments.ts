import { IonbookError } from "../errors.js";

/** What stood behind a command: plain words, and options with or without a value. */
export interface Arguments {
  readonly words: readonly string[];
  /** By name without dashes; true for an option that takes no value. */
  readonly options: ReadonlyMap<string, string | true>;
}

/**
 * Sorts the words behind a command. `--name value` and `--name=value` are the same; after `--` everything is a
 * plain word.
 *
 * @param known options of the command: true for one that takes a value
 * @throws IonbookError `unknown-option`, `missing-value`, `unwanted-value`, `option-twice`
 */
export function readArguments(args: readonly string[], known: Readonly<Record<string, boolean>>): Arguments {
  const words: string[] = [];
  const options = new Map<string, string | true>();
  for (let i = 0; i < args.length; i++) {
    if (args[i] === "--") {
      words.push(...args.slice(i + 1));
      break;
    }
    if (!args[i].startsWith("-") || args[i] === "-") {
      words.push(args[i]);
      continue;
    }
    const [option, inline] = splitOption(args[i]);
    const name = knownName(option, known);
    if (options.has(name)) throw new IonbookError("option-twice", `${option} is given twice: give it once`);
    if (!known[name]) {
      if (inline !== undefined) {
        throw new IonbookError("unwanted-value", `${option} takes no value: leave out "=${inline}"`);
      }
      options.set(name, true);
      continue;
    }
    const value = inline ?? args[++i];
    if (value === undefined || value === "" || (inline === undefined && value.startsWith("--"))) {
      throw new IonbookError("missing-value", `${option} needs a value behind it, as in "${option} results"`);
    }
    options.set(name, value);
  }
  return { words, options };
}

function splitOption(text: string): [option: string, inline: string | undefined] {
  const at = text.indexOf("=");
  return at < 0 ? [text, undefined] : [text.slice(0, at), text.slice(at + 1)];
}

function knownName(option: string, known: Readonly<Record<string, boolean>>): string {
  const name = option.replace(/^--/, "");
  if (option.startsWith("--") && Object.hasOwn(known, name)) return name;
  const list = Object.keys(known).map((each) => `--${each}`);
  throw new IonbookError(
    "unknown-option",
    `there is no option ${option} here: ${list.length === 1 ? "the only one is" : "there are"} ${list.join(", ")}`,
  );
}
