import * as v from "valibot";
import { IonbookError } from "../../errors.js";

const DESCRIPTION = v.strictObject({
  title: v.string(),
  source: v.string(),
  licence: v.string(),
  table: v.string(),
  unitsRow: v.optional(v.boolean(), false),
  missing: v.optional(v.array(v.string()), ["", "NA"]),
  columns: v.record(
    v.string(),
    v.strictObject({
      holds: v.optional(v.string()),
      meaning: v.optional(v.string()),
      unit: v.optional(v.string()),
      flag: v.optional(v.string()),
      at: v.optional(v.number()),
    }),
  ),
});

/** What columns.json holds, with its defaults. */
export type DescriptionShape = v.InferOutput<typeof DESCRIPTION>;

/** @throws IonbookError "bad-description" with the key that is wrong */
export function checkShape(parsed: unknown, file: string): DescriptionShape {
  const checked = v.safeParse(DESCRIPTION, parsed);
  if (checked.success) return checked.output;
  const [issue] = checked.issues;
  const path = issue.path?.map(({ key }) => String(key)).join(".") ?? "";
  throw new IonbookError("bad-description", `${path === "" ? "" : `${path}: `}${issue.message}`, { file });
}
