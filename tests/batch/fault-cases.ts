import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { openBatch } from "../../toolkit/batch/reading/open-batch.js";
import { type BatchFiles, edit, folderOf, inventedBatch } from "./invented-batch.js";
import { refusalOf } from "./refusal.js";

/** One fault put into a sound batch, and how it must be refused. */
export interface Fault {
  readonly change: (files: BatchFiles) => void;
  readonly code: string;
  readonly file: string;
  /** Not given where the line does not matter. */
  readonly line?: number;
  readonly column?: string;
  /** What the message says, and how it tells to mend it. */
  readonly says: RegExp;
}

/** A change that replaces a text of one file. */
export function change(file: string, from: string | RegExp, to: string): Fault["change"] {
  return (files) => edit(files, file, from, to);
}

/** Claims that each fault is refused in one message with code, file, line, column and a way to mend it. */
export function itRefuses(where: string, faults: Readonly<Record<string, Fault>>): void {
  describe(`one fault in ${where} is told with what, where and how to mend it`, () => {
    it.each(Object.entries(faults))("%s", async (_, { change, code, file, line, column, says }) => {
      const files = inventedBatch();
      change(files);
      const folder = folderOf(files);
      const refused = await refusalOf(openBatch(folder));
      expect(refused.code).toBe(code);
      expect(refused.where?.file).toBe(join(folder, file));
      if (line !== undefined) expect(refused.where?.line).toBe(line);
      expect(refused.where?.column).toBe(column);
      expect(refused.message).toMatch(says);
      expect(refused.message).toContain(join(folder, file));
      expect(refused.message).not.toMatch(/undefined|NaN|\[object/);
    });
  });
}
