import { DISPLAY, type DisplayBundle } from "../display.js";
import { IonbookError } from "../errors.js";
import { isMeasuredValue, type MeasuredValue } from "../uncertainty/measured.js";
import { RECORD_TYPE, type RecordData, recordBundle, recordText, scaleOf } from "./record-data.js";

export interface RecordOptions {
  /**
   * How much a later run may differ, relative to the value (where the value is 0: relative to u).
   *
   * @default a fifth of u for a measured value; 1e-9 for a plain number, the rounding noise between machines;
   * 0 for text and yes or no
   */
  readonly tolerance?: number;
}

/** A result that `ionbook verify` holds the notebook to. */
export interface Recorded extends RecordData {
  readonly kind: "recorded";
  toString(): string;
  [DISPLAY](): DisplayBundle;
}

/** A fifth of u changes no statement about the result; a relative 1e-9 is rounding noise. */
const SHARE_OF_U = 1 / 5;
const ROUNDING = 1e-9;
/** Under this name the notebook kernel takes what is to be shown at once. */
const SHOW = Symbol.for("ionbook.display");
/** The kernel does not show a second time what says true under this name. */
const SHOWN = Symbol.for("ionbook.shown");

/**
 * Records a result of the notebook: it is shown in the cell's output together with its data, and `ionbook verify`
 * compares it with what a later run gives.
 *
 * A plain number of 0 has no scale: it must come out as 0 exactly; a measured value of 0 may differ by the share of u.
 *
 * In a notebook it shows itself at once, wherever in the cell it stands, and as the cell's last expression it is not
 * shown a second time.
 *
 * @param name what the result is, in words: "chloride rise in well 3"; the same name may stand in several cells
 * @throws IonbookError "record-without-name", "not-a-result" (nothing that can be recorded, not a finite number),
 * "bad-tolerance" (negative, not finite, or on text and yes or no, which are the same or not)
 */
export function record(
  name: string,
  value: MeasuredValue | number | string | boolean,
  options: RecordOptions = {},
): Recorded {
  if (typeof name !== "string" || name.trim() === "") {
    const why = 'a recorded result needs a name, as in record("chloride rise in well 3", rise)';
    throw new IonbookError("record-without-name", why);
  }
  const found = checkedValue(name, value);
  const recorded = new RecordedResult({
    name,
    ...found,
    tolerance: toleranceOf(name, found, options.tolerance),
  });
  recorded.show();
  return recorded;
}

class RecordedResult implements Recorded {
  readonly kind = "recorded";
  readonly name: string;
  readonly value: RecordData["value"];
  readonly u: number | null;
  readonly unit: string | null;
  readonly tolerance: number;
  #shown = false;

  constructor(data: RecordData) {
    this.name = data.name;
    this.value = data.value;
    this.u = data.u;
    this.unit = data.unit;
    this.tolerance = data.tolerance;
  }

  /** Where nobody listens (outside a notebook) it waits to be displayed. */
  show(): void {
    const show: unknown = Reflect.get(globalThis, SHOW);
    if (typeof show !== "function") return;
    show(recordBundle(this));
    this.#shown = true;
  }

  get [SHOWN](): boolean {
    return this.#shown;
  }

  toString(): string {
    return recordText(this);
  }

  /** The data are in one output only, that of the first showing; after it the text alone. */
  [DISPLAY](): DisplayBundle {
    const { [RECORD_TYPE]: data, ...texts } = recordBundle(this);
    return this.#shown ? texts : { ...texts, [RECORD_TYPE]: data };
  }
}

type Found = Pick<RecordData, "value" | "u" | "unit">;

function checkedValue(name: string, value: unknown): Found {
  if (isMeasuredValue(value)) return { value: value.value, u: value.u, unit: value.unit };
  if (typeof value === "string" || typeof value === "boolean") return { value, u: null, unit: null };
  if (typeof value === "number" && Number.isFinite(value)) return { value, u: null, unit: null };
  const what = typeof value === "number" ? `${value}` : describe(value);
  const why = `"${name}" is ${what}; a recorded result is a measured value, a finite number, a text, or true or false. ${adviceFor(value)}`;
  throw new IonbookError("not-a-result", why);
}

function describe(value: unknown): string {
  if (value === undefined || value === null) return `${value}`;
  if (value instanceof Promise) return "a promise";
  if (Array.isArray(value)) return "a list";
  const kind = typeof value === "object" && "kind" in value ? value.kind : undefined;
  return typeof kind === "string" ? `a whole "${kind}"` : `of the type ${typeof value}`;
}

function adviceFor(value: unknown): string {
  if (typeof value === "number") return "Look where a division by zero or a missing value came in";
  if (value instanceof Promise) return "Write await in front of it";
  if (Array.isArray(value)) return "Record each of its members under a name of its own";
  return "Record the one value in it that the investigation rests on";
}

function toleranceOf(name: string, { value, u }: Found, given: number | undefined): number {
  if (typeof value !== "number") {
    if (given === undefined || given === 0) return 0;
    const why = `"${name}" is ${typeof value === "string" ? "a text" : "true or false"}, which is the same or not: leave out the tolerance`;
    throw new IonbookError("bad-tolerance", why);
  }
  if (given === undefined) return defaultTolerance(value, u ?? 0);
  if (typeof given === "number" && given >= 0 && Number.isFinite(given)) return given;
  const why = `the tolerance of "${name}" is ${given}; give a part of the value, 0 or more, as 0.01 for 1 %`;
  throw new IonbookError("bad-tolerance", why);
}

function defaultTolerance(value: number, u: number): number {
  return u === 0 ? ROUNDING : (SHARE_OF_U * u) / scaleOf(value, u);
}
