/** Something in a cell wanted to end the process. */
export class ExitRefused extends Error {
  override readonly name = "ExitRefused";
}

/**
 * Makes `process.exit()` an error of the running cell: one line of a library would otherwise take every variable of
 * the notebook with it. Returns the real way out.
 */
export function guardExit(refused: (error: ExitRefused) => void): (code: number) => never {
  const leave = process.exit.bind(process);
  const refuse = (code?: number | string | null): never => {
    const error = new ExitRefused(
      `process.exit(${code ?? ""}) was called and not carried out, because all variables would be lost. ` +
        "Libraries call it when they cannot go on: look at what was printed above. To end the kernel, use the notebook's menu.",
    );
    refused(error);
    throw error;
  };
  process.exit = refuse;
  process.abort = () => refuse("abort");
  return leave;
}
