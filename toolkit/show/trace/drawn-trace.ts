/** One peak as a drawing needs it. */
export interface DrawnPeak {
  /** "chloride", "unknown 1". */
  readonly label: string;
  /** Name of a colour of the ion colours. */
  readonly color: string;
  readonly named: boolean;
  /** Void dips and other peaks of the system itself: drawn faintly, never a reason to magnify. */
  readonly system: boolean;
  /** Apex and limits, min. */
  readonly time: number;
  readonly start: number;
  readonly end: number;
  /** Above the baseline, in the unit of the signal. */
  readonly height: number;
  /** What the reading line says when the pointer is on the peak. */
  readonly about: string;
  /** True where a fitted component is drawn in place of the area between signal and baseline. */
  readonly fitted: boolean;
  /** True for an open, dashed outline: seen, but not to be quantified. */
  readonly refused?: boolean;
}

/** A fitted component above the baseline, on the trace's own points from index `first`. */
export interface DrawnComponent {
  readonly color: string;
  readonly first: number;
  readonly values: Float64Array;
  /** As of its peak. */
  readonly refused?: boolean;
}

/** A low panel below the record that shares its time axis. */
export interface DrawnStrip {
  /** Written above it; with `values` left out it holds what signal − baseline − components leave over. */
  readonly title: string;
  /** One number for each point of the record. */
  readonly values?: Float64Array;
  /** Range of its axis. @default symmetric about zero, at most twelve times the noise either way */
  readonly range?: readonly [low: number, high: number];
  /** How many times as high as a strip usually is. @default 1 */
  readonly tall?: number;
}

/** Everything a drawing of one record needs, free of chemistry. */
export interface DrawnTrace {
  /** Quantity and unit of the vertical axis. */
  readonly axis: string;
  readonly time: Float64Array;
  readonly signal: Float64Array;
  /** Not-a-number outside the evaluated stretch. */
  readonly baseline: Float64Array;
  readonly noise: number;
  readonly peaks: readonly DrawnPeak[];
  readonly components: readonly DrawnComponent[];
  /** Whether the sum of baseline and components is drawn over the signal. */
  readonly sum?: boolean;
  readonly strip?: DrawnStrip;
  /**
   * The stretch in which the record is to be magnified where no small peak asks for it: its height, and its lower end
   * where there is no baseline to stand on.
   */
  readonly traceLevel?: { readonly span: number; readonly floor?: number };
}

/** What part of a record is looked at; ranges left out follow the data. */
export interface TraceView {
  /** min */
  readonly x: readonly [low: number, high: number];
  /** Range of the upper panel. */
  readonly y?: readonly [low: number, high: number] | undefined;
  /** Range of the magnified panel. */
  readonly magnified?: readonly [low: number, high: number] | undefined;
  /** Whether the lower panel shows the signal above its baseline; decided by the data when left out. */
  readonly flat?: boolean | undefined;
  /** Extra magnification of the lower panel that a reader asked for; 1 by default. */
  readonly boost?: number | undefined;
  /** False for a single panel; by default there is a magnified one wherever a peak is dwarfed by another. */
  readonly twin?: boolean | undefined;
}

/** A drawn panel: where it lies in the picture and what it shows. */
export interface PanelPlace {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly x: readonly [low: number, high: number];
  readonly y: readonly [low: number, high: number];
  /** How many times the upper panel; 1 for the upper panel itself. */
  readonly factor: number;
  /** True where the baseline is subtracted. */
  readonly flat: boolean;
}

export interface TraceDrawing {
  readonly svg: string;
  readonly panels: readonly PanelPlace[];
}
