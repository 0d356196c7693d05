/** A code cell that is run, with its two numbers. */
export interface CellPlace {
  /** Counted over all cells from 1, text cells too, as a reader counts. */
  readonly cell: number;
  /** Counted over the code cells that were run: the number in the cell's brackets. */
  readonly codeCell: number;
  readonly source: string;
}
