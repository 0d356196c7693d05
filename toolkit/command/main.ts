import { IonbookError, isIonbookError } from "../errors.js";
import { packageVersion } from "../show/page/package-version.js";
import { HELP } from "./help.js";

type Command = (args: readonly string[]) => Promise<void>;

/** Each is loaded when it is asked for: nobody waits for charts to be told that a folder is missing. */
const COMMANDS: Readonly<Record<string, () => Promise<Command>>> = {
  quantify: async () => (await import("./quantify-command.js")).quantifyCommand,
  run: async () => (await import("./run-command.js")).runCommand,
  verify: async () => (await import("./verify-command.js")).verifyCommand,
  kernel: async () => (await import("./kernel-command.js")).kernelCommand,
  demo: async () => (await import("./demo-command.js")).demoCommand,
};

/**
 * Runs the `ionbook` command and returns its exit code: 0 done, 1 not done with one message on standard error.
 *
 * @param args the words behind `ionbook`
 */
export async function run(args: readonly string[]): Promise<number> {
  try {
    await dispatch(args);
    return 0;
  } catch (error) {
    process.stderr.write(`${messageOf(error)}\n`);
    return 1;
  }
}

async function dispatch([command, ...rest]: readonly string[]): Promise<void> {
  if (command === undefined || command === "--help" || command === "-h" || command === "help") {
    process.stdout.write(HELP);
  } else if (command === "--version") {
    console.log(packageVersion());
  } else if (rest.includes("--help")) {
    process.stdout.write(HELP);
  } else if (Object.hasOwn(COMMANDS, command)) {
    const work = await COMMANDS[command]();
    await work(rest);
  } else {
    throw new IonbookError("unknown-command", `there is no command "${command}"\n\n${HELP}`);
  }
}

/** One message a person can act on; the stack only where somebody asked for it. */
function messageOf(error: unknown): string {
  if (process.env.IONBOOK_DEBUG && error instanceof Error) return String(error.stack);
  if (isIonbookError(error)) return `ionbook: ${error.message}`;
  const text = error instanceof Error ? error.message : String(error);
  if (isSystemError(error)) return `ionbook: ${text}: check the path, its permissions and the free space`;
  return `ionbook: a fault of the program itself, not of your data: ${text}\nPlease report it with the command you gave; IONBOOK_DEBUG=1 shows where it happened.`;
}

/** An error of the file system: nothing the toolkit foresaw, but not its fault either. */
function isSystemError(error: unknown): boolean {
  return error instanceof Error && "syscall" in error;
}
