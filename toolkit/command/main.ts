import { IonbookError, isIonbookError } from "../errors.js";
import { packageVersion } from "../show/page/package-version.js";
import { demoCommand } from "./demo-command.js";
import { HELP } from "./help.js";
import { kernelCommand } from "./kernel-command.js";
import { quantifyCommand } from "./quantify-command.js";
import { runCommand } from "./run-command.js";
import { verifyCommand } from "./verify-command.js";

const COMMANDS: Readonly<Record<string, (args: readonly string[]) => Promise<void>>> = {
  quantify: quantifyCommand,
  run: runCommand,
  verify: verifyCommand,
  kernel: kernelCommand,
  demo: demoCommand,
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
    await COMMANDS[command](rest);
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
