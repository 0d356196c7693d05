import { IonbookError } from "../errors.js";
import { nearestNames } from "./nearest-names.js";

/**
 * Refuses an option whose name nobody reads: a misspelt one would leave the default in force without a word.
 *
 * @param known every option of the call, once
 * @param call name of the public function, for the message
 * @throws IonbookError "unknown-option" with the nearest names, "bad-option" where the options are no object
 */
export function requireKnownOptions<Options extends object>(
  options: Options,
  known: Readonly<Record<keyof Options, true>>,
  call: string,
): void {
  if (typeof options !== "object" || options === null || Array.isArray(options)) {
    const names = Object.keys(known);
    throw new IonbookError(
      "bad-option",
      `${call} takes its options by name, as in { ${names[0]}: … }, not ${String(options)}. It knows ${names.join(", ")}`,
    );
  }
  for (const name of Object.keys(options)) {
    if (Object.hasOwn(known, name)) continue;
    const names = Object.keys(known);
    const [nearest] = nearestNames(name, names);
    const hint = nearest === undefined ? "." : `; did you mean "${nearest}"?`;
    throw new IonbookError(
      "unknown-option",
      `${call} has no option "${name}"${hint} It knows ${names.join(", ")}`,
    );
  }
}
