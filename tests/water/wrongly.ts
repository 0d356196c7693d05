/** A function that may be called wrongly, as a cell without types could. */
export function wrongly(call: unknown): (...given: readonly unknown[]) => unknown {
  return call as (...given: readonly unknown[]) => unknown;
}
