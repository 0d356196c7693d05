import fs from "node:fs";
import { syncBuiltinESMExports } from "node:module";
import { fileURLToPath } from "node:url";

export type AccessListener = (access: "read" | "write", path: string) => void;
type AnyFunction = (...args: unknown[]) => unknown;

const READERS = ["readFile", "readFileSync", "createReadStream"];
const WRITERS = ["writeFile", "writeFileSync", "appendFile", "appendFileSync", "createWriteStream"];
const OPENERS = ["open", "openSync"];
/** The second argument names what is written. */
const COPIERS = ["copyFile", "copyFileSync", "rename", "renameSync"];

/** Tells of every file that is opened through `node:fs`, in whatever form it is imported. */
export function watchFileAccess(listen: AccessListener): void {
  for (const target of [fs, fs.promises] as unknown as Record<string, unknown>[]) {
    patch(target, READERS, ([path]) => tell(listen, "read", path));
    patch(target, WRITERS, ([path]) => tell(listen, "write", path));
    patch(target, COPIERS, ([, path]) => tell(listen, "write", path));
    patch(target, OPENERS, ([path, flags]) => tell(listen, isReading(flags) ? "read" : "write", path));
  }
  syncBuiltinESMExports();
}

function patch(target: Record<string, unknown>, names: readonly string[], note: (args: unknown[]) => void) {
  for (const name of names) {
    const original = target[name];
    if (typeof original !== "function") continue;
    const watched = function (this: unknown, ...args: unknown[]): unknown {
      note(args);
      return (original as AnyFunction).apply(this, args);
    };
    // `promisify` and others look for what hangs on the function.
    target[name] = Object.defineProperties(watched, Object.getOwnPropertyDescriptors(original));
  }
}

/** The way of opening: "r" where nothing is said; a callback in its place says nothing. */
function isReading(flags: unknown): boolean {
  if (typeof flags === "number") return (flags & (fs.constants.O_WRONLY | fs.constants.O_RDWR)) === 0;
  if (typeof flags !== "string") return true;
  return flags === "r" || flags === "rs" || flags === "sr";
}

function tell(listen: AccessListener, access: "read" | "write", path: unknown): void {
  if (typeof path === "string") listen(access, path);
  else if (path instanceof URL && path.protocol === "file:") listen(access, fileURLToPath(path));
  else if (path instanceof Uint8Array) listen(access, Buffer.from(path).toString("utf8"));
}
