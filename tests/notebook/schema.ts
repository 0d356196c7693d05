import { readFileSync } from "node:fs";
import Ajv from "ajv-draft-04";

const path = new URL("../reference/nbformat.v4.5.schema.json", import.meta.url);
// The published schema uses keywords beside $ref, which the checker's strict mode refuses.
const ajv = new Ajv.default({ strict: false, allErrors: true });
const isNotebook = ajv.compile(JSON.parse(readFileSync(path, "utf8")));

/**
 * What the published schema of nbformat 4.5 finds wrong with a parsed notebook; empty where nothing is.
 *
 * @source Jupyter's package nbformat, schema v4.5 (tests/reference/README-nbformat.md)
 */
export function schemaFaults(notebook: unknown): readonly string[] {
  if (isNotebook(notebook)) return [];
  return (isNotebook.errors ?? []).map((error) => `${error.instancePath} ${error.message}`);
}
