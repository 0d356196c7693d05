/** One thing in which a notebook and its new run do not agree. */
export interface Difference {
  readonly kind:
    | "changed"
    | "missing"
    | "new"
    | "stale"
    | "data changed"
    | "data missing"
    | "data new"
    | "contradiction"
    | "failed";
  /** Cell, counted over all cells from 1. */
  readonly cell?: number;
  /** Of the recorded result. */
  readonly name?: string;
  /** Of the data file, relative to the folder in which the cells run. */
  readonly file?: string;
  readonly message: string;
}
