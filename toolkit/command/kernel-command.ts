import { IonbookError } from "../errors.js";
import { readArguments } from "./arguments.js";
import { shortestPath } from "./shortest-path.js";

/** `ionbook kernel install`: makes the kernel known to the notebook programs of this user. */
export async function kernelCommand(args: readonly string[]): Promise<void> {
  const { words } = readArguments(args, {});
  if (words.length !== 1 || words[0] !== "install") {
    throw new IonbookError("unknown-word", "say what to do with the kernel: ionbook kernel install");
  }
  const { installKernelspec } = await import("../kernel/kernelspec.js");
  const place = await installKernelspec();
  console.log(
    [
      `The kernel is installed: ${shortestPath(place)}`,
      'In a notebook program choose the kernel "Ionbook (TypeScript)"; an open page shows it after a reload.',
      "Moved or updated this checkout? Then install it again.",
    ].join("\n"),
  );
}
