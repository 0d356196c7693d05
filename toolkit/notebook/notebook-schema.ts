import * as v from "valibot";

const TEXT = v.union([v.string(), v.array(v.string())]);
const METADATA = v.looseObject({});
const BUNDLE = v.record(v.string(), v.unknown());
const OUTPUT = v.variant("output_type", [
  v.looseObject({
    output_type: v.literal("execute_result"),
    execution_count: v.nullable(v.number()),
    data: BUNDLE,
    metadata: METADATA,
  }),
  v.looseObject({ output_type: v.literal("display_data"), data: BUNDLE, metadata: METADATA }),
  v.looseObject({ output_type: v.literal("stream"), name: v.picklist(["stdout", "stderr"]), text: TEXT }),
  v.looseObject({
    output_type: v.literal("error"),
    ename: v.string(),
    evalue: v.string(),
    traceback: v.array(v.string()),
  }),
]);
const CELL = {
  /** Only the format 4.5 asks for it; older cells get one on reading. */
  id: v.optional(
    v.pipe(v.string(), v.regex(/^[a-zA-Z0-9_-]{1,64}$/, "1 to 64 letters, digits, hyphens or underscores")),
  ),
  metadata: METADATA,
  source: TEXT,
};
const CELLS = v.variant("cell_type", [
  v.looseObject({
    ...CELL,
    cell_type: v.literal("code"),
    execution_count: v.nullable(v.pipe(v.number(), v.integer(), v.minValue(0))),
    outputs: v.array(OUTPUT),
  }),
  v.looseObject({ ...CELL, cell_type: v.literal("markdown") }),
  v.looseObject({ ...CELL, cell_type: v.literal("raw") }),
]);
const NOTEBOOK = v.looseObject({
  nbformat: v.literal(4),
  nbformat_minor: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(5)),
  metadata: METADATA,
  cells: v.array(CELLS),
});

export type CheckedNotebook = v.InferOutput<typeof NOTEBOOK>;

/** The structure of a notebook as it should be, or the first fault: the keys that lead to it and what is wrong. */
export function checkNotebook(
  parsed: unknown,
): CheckedNotebook | { readonly faultAt: readonly unknown[]; readonly fault: string } {
  const checked = v.safeParse(NOTEBOOK, parsed);
  if (checked.success) return checked.output;
  const issue = checked.issues[0];
  return { faultAt: issue.path?.map((item) => item.key) ?? [], fault: issue.message };
}
