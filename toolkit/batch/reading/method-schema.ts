import * as v from "valibot";
import { MODELS, WEIGHTINGS } from "../model-names.js";

const text = (what: string) => v.pipe(v.string(`${what} must be text in quotes`), v.trim());
const filled = (what: string) => v.pipe(text(what), v.minLength(1, `${what} must not be blank`));
const number = (what: string) =>
  v.pipe(v.number(`${what} must be a number`), v.finite(`${what} must be finite`));
const positive = (what: string) =>
  v.pipe(
    number(what),
    v.check((value) => value > 0, `${what} must be greater than 0`),
  );
const notNegative = (what: string) => v.pipe(number(what), v.minValue(0, `${what} must not be negative`));

const RANGE = "range must be [lowest level, highest level] in mg/L, the lower one first";
const RangeShape = v.pipe(
  v.array(notNegative("a level of the range (mg/L)"), RANGE),
  v.check((range) => range.length === 2 && range[0] < range[1], RANGE),
  v.transform(([low, high]) => [low, high] as const),
);

const MethodIonShape = v.looseObject(
  {
    ion: filled("ion"),
    retentionTime: positive("retentionTime (min)"),
    window: positive("window (half-width, min)"),
    model: v.optional(v.picklist(MODELS, `model must be ${MODELS.join(", ")}`), "linear"),
    weighting: v.optional(v.picklist(WEIGHTINGS, `weighting must be ${WEIGHTINGS.join(", ")}`), "1/x^2"),
    range: v.optional(RangeShape),
  },
  'must be an object such as { "ion": "chloride", "retentionTime": 5.1, "window": 0.25 }',
);

const ProgramPoint = v.strictTuple(
  [notNegative("time (min)"), notNegative("concentration (mmol/L)")],
  "every point of the program must be [time in min, concentration in mmol/L]",
);

const EluentShape = v.looseObject(
  {
    kind: filled("kind"),
    program: v.optional(v.array(ProgramPoint, "program must be a list of [min, mmol/L]"), []),
  },
  "eluent must be an object with kind and program",
);

/** The shape of batch.json: what each key must be, with the defaults an analyst would choose. */
export const MethodShape = v.looseObject(
  {
    title: filled("title"),
    channel: v.picklist(["anion", "cation"], "channel must be anion or cation"),
    detection: v.optional(text("detection"), ""),
    eluent: v.optional(EluentShape),
    holdUpTime: positive("holdUpTime (min)"),
    from: v.optional(notNegative("from (min)")),
    to: v.optional(positive("to (min)")),
    ions: v.pipe(
      v.array(MethodIonShape, "ions must be a list"),
      v.minLength(1, "ions must name at least one ion"),
    ),
    notMeasured: v.optional(v.array(filled("an ion"), "notMeasured must be a list of ions"), []),
  },
  "the file must hold one object in braces",
);

export type MethodFile = v.InferOutput<typeof MethodShape>;

/** One thing the shape of the file got wrong. */
export interface ShapeFault {
  /** "ions.0.window" */
  readonly path: string;
  readonly message: string;
  readonly isMissing: boolean;
}

/** The content of batch.json as typed data with defaults, or what is wrong with it. */
export function checkShape(
  content: unknown,
):
  | { readonly ok: true; readonly file: MethodFile }
  | { readonly ok: false; readonly faults: readonly ShapeFault[] } {
  const checked = v.safeParse(MethodShape, content);
  if (checked.success) return { ok: true, file: checked.output };
  const faults = checked.issues.map((issue) => ({
    path: v.getDotPath(issue) ?? "",
    message: issue.message,
    isMissing: issue.input === undefined,
  }));
  return { ok: false, faults };
}
