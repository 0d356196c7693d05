import type * as TS from "@tslab/typescript-for-tslab";
import type { TypeScript } from "./compiler-type.js";

/**
 * The cell with every top-level `let` and `var` exported where it is declared. The converter ends a cell with
 * `export { a, b }`, after which functions of this cell would keep reading a copy of their own when a later cell
 * assigns `a`; with `export let a` every use goes through the one shared scope.
 *
 * @param js an ES module as the converter emits it; columns behind an inserted `export ` move, lines do not
 */
export function shareTopLevel(ts: TypeScript, js: string): string {
  const file = ts.createSourceFile("cell.js", js, ts.ScriptTarget.ES2022, false, ts.ScriptKind.JS);
  const clause = file.statements.find((each): each is TS.ExportDeclaration => isExportClause(ts, each));
  if (!clause?.exportClause || !ts.isNamedExports(clause.exportClause)) return js;
  const names = new Set<string>();
  const places: number[] = [];
  for (const statement of file.statements) {
    if (!isOpenVariable(ts, statement) || statement.pos > clause.pos) continue;
    for (const { name } of statement.declarationList.declarations) collectNames(ts, name, names);
    places.push(statement.getStart(file));
  }
  if (places.length === 0) return js;
  const rest = clause.exportClause.elements
    .filter((each) => each.propertyName || !names.has(each.name.text))
    .map((each) => each.getText(file));
  const ending = rest.length > 0 ? `export { ${rest.join(", ")} };` : "";
  let out = js.slice(0, clause.getStart(file)) + ending + js.slice(clause.end);
  for (const place of places.reverse()) out = `${out.slice(0, place)}export ${out.slice(place)}`;
  return out;
}

function isExportClause(ts: TypeScript, statement: TS.Statement): boolean {
  if (!ts.isExportDeclaration(statement) || statement.moduleSpecifier || !statement.exportClause)
    return false;
  return ts.isNamedExports(statement.exportClause) && statement.exportClause.elements.length > 0;
}

/** A `let` or `var` that is not exported yet. */
function isOpenVariable(ts: TypeScript, statement: TS.Statement): statement is TS.VariableStatement {
  if (!ts.isVariableStatement(statement) || statement.modifiers?.length) return false;
  return (statement.declarationList.flags & ts.NodeFlags.Const) === 0;
}

function collectNames(ts: TypeScript, name: TS.BindingName, into: Set<string>): void {
  if (ts.isIdentifier(name)) {
    into.add(name.text);
    return;
  }
  for (const element of name.elements) {
    if (!ts.isOmittedExpression(element)) collectNames(ts, element.name, into);
  }
}
