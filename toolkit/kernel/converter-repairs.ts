import type * as TS from "@tslab/typescript-for-tslab";
import type { TypeScript } from "./compiler-type.js";

/** Where the converter keeps what earlier cells declared. */
const EARLIER_CELLS = /(^|\/)__prev__\.d\.ts$/;

/**
 * Functions to stand in for the compiler's own where the converter goes wrong: `{ n }` with `n` of an earlier cell
 * stays as it is and finds no `n`.
 */
export function converterRepairs(ts: TypeScript): object {
  let checker: (() => TS.TypeChecker) | undefined;
  const isOfEarlierCell = (node: TS.ShorthandPropertyAssignment): boolean => {
    const symbol = checker?.().getShorthandAssignmentValueSymbol(ts.getOriginalNode(node));
    return symbol?.declarations?.some((each) => EARLIER_CELLS.test(each.getSourceFile().fileName)) ?? false;
  };
  return {
    createWatchProgram(host: TS.WatchCompilerHostOfFilesAndCompilerOptions<TS.BuilderProgram>) {
      const hand = host.afterProgramCreate;
      host.afterProgramCreate = (builder) => {
        checker = () => builder.getProgram().getTypeChecker();
        hand?.(builder);
      };
      return ts.createWatchProgram(host);
    },
    visitEachChild(node: TS.Node, visitor: TS.Visitor, context: TS.TransformationContext) {
      if (node && ts.isShorthandPropertyAssignment(node) && isOfEarlierCell(node)) {
        return longhand(ts, node, visitor);
      }
      return ts.visitEachChild(node, visitor, context);
    },
  };
}

/** `{ n }` as `{ n: exports.n }`, and `{ n = 1 } = …` as `{ n: exports.n = 1 } = …`. */
function longhand(
  ts: TypeScript,
  node: TS.ShorthandPropertyAssignment,
  visitor: TS.Visitor,
): TS.PropertyAssignment {
  const { factory } = ts;
  const shared = factory.createPropertyAccessExpression(factory.createIdentifier("exports"), node.name.text);
  const usual = node.objectAssignmentInitializer;
  const value = usual
    ? factory.createAssignment(shared, ts.visitNode(usual, visitor) as TS.Expression)
    : shared;
  return factory.createPropertyAssignment(node.name.text, value);
}
