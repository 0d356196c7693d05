/** How a chromatogram file is to be read where the file itself does not say. */
export interface ReadOptions {
  /** Unit of time; goes before what the file says. */
  readonly timeUnit?: "s" | "min" | "h";
  /** Unit of the signal ("µS/cm", "nS/cm", "mAU"); goes before what the file says. */
  readonly signalUnit?: string;
  /** Title of the signal column, where a text file has several. */
  readonly signalColumn?: string;
  /** @default name of the file without its ending */
  readonly id?: string;
  readonly channel?: "anion" | "cation";
}
