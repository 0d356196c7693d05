import type * as TS from "@tslab/typescript-for-tslab";
import type { TypeScript } from "./compiler-type.js";
import { HELPERS } from "./helpers-name.js";

type SourceTransformer = TS.TransformerFactory<TS.SourceFile>;

/**
 * Before modules are turned into CommonJS: loops that may run after an `await` look at the interrupt flag (a signal
 * cannot reach them there), and `import()` goes through the kernel, which knows packages that the folder does not.
 */
export function rewriteSource(ts: TypeScript): SourceTransformer {
  return (context) => (file) => {
    const visit = (node: TS.Node, inAsync: boolean): TS.Node => {
      const here = ts.isFunctionLike(node) ? isAsync(ts, node) : inAsync;
      const visited = ts.visitEachChild(node, (child) => visit(child, here), context);
      if (ts.isCallExpression(visited) && visited.expression.kind === ts.SyntaxKind.ImportKeyword) {
        return ts.factory.updateCallExpression(visited, helper(ts, "load"), undefined, visited.arguments);
      }
      return here && ts.isIterationStatement(visited, false) ? guarded(ts, visited) : visited;
    };
    return visit(
      file,
      file.statements.some((each) => awaitsHere(ts, each)),
    ) as TS.SourceFile;
  };
}

/**
 * After it: imported names are put into the shared scope as plain values, so that a later cell may declare them
 * again; TypeScript itself writes getters that can never be replaced.
 */
export function rewriteEmitted(ts: TypeScript): SourceTransformer {
  return () => (file) => {
    const statements = file.statements.flatMap((statement) => {
      const call = definitionOnExports(ts, statement);
      if (!call) return [statement];
      const name = call.arguments[1];
      if (name && ts.isStringLiteral(name) && name.text === "__esModule") return [];
      const own = ts.factory.createCallExpression(helper(ts, "define"), undefined, call.arguments);
      return [ts.factory.createExpressionStatement(own)];
    });
    return ts.factory.updateSourceFile(file, statements);
  };
}

function helper(ts: TypeScript, name: string): TS.Expression {
  return ts.factory.createPropertyAccessExpression(ts.factory.createIdentifier(HELPERS), name);
}

function isAsync(ts: TypeScript, node: TS.Node): boolean {
  if (!ts.canHaveModifiers(node)) return false;
  return node.modifiers?.some((each) => each.kind === ts.SyntaxKind.AsyncKeyword) ?? false;
}

/** Whether something is awaited in this node itself, not in a function inside it. */
function awaitsHere(ts: TypeScript, node: TS.Node): boolean {
  if (ts.isAwaitExpression(node) || (ts.isForOfStatement(node) && node.awaitModifier)) return true;
  if (ts.isFunctionLike(node)) return false;
  return ts.forEachChild(node, (child) => awaitsHere(ts, child) || undefined) ?? false;
}

function guarded(ts: TypeScript, loop: TS.IterationStatement): TS.Statement {
  const { factory } = ts;
  const look = factory.createExpressionStatement(
    factory.createCallExpression(helper(ts, "guard"), undefined, []),
  );
  const inner = ts.isBlock(loop.statement) ? loop.statement.statements : [loop.statement];
  const body = factory.createBlock([look, ...inner], true);
  if (ts.isForStatement(loop)) {
    return factory.updateForStatement(loop, loop.initializer, loop.condition, loop.incrementor, body);
  }
  if (ts.isWhileStatement(loop)) return factory.updateWhileStatement(loop, loop.expression, body);
  if (ts.isDoStatement(loop)) return factory.updateDoStatement(loop, body, loop.expression);
  if (ts.isForInStatement(loop)) {
    return factory.updateForInStatement(loop, loop.initializer, loop.expression, body);
  }
  if (ts.isForOfStatement(loop)) {
    return factory.updateForOfStatement(loop, loop.awaitModifier, loop.initializer, loop.expression, body);
  }
  return loop;
}

/** The call, where a statement is `Object.defineProperty(exports, …)`. */
function definitionOnExports(ts: TypeScript, statement: TS.Statement): TS.CallExpression | undefined {
  if (!ts.isExpressionStatement(statement) || !ts.isCallExpression(statement.expression)) return undefined;
  const { expression: callee, arguments: given } = statement.expression;
  if (!ts.isPropertyAccessExpression(callee) || callee.name.text !== "defineProperty") return undefined;
  if (!ts.isIdentifier(callee.expression) || callee.expression.text !== "Object") return undefined;
  const [target] = given;
  return target && ts.isIdentifier(target) && target.text === "exports" ? statement.expression : undefined;
}
