import { IonbookError } from "../errors.js";

/** Acid that a stock or a solution is made up with. */
export interface AcidMatrix {
  readonly acid:
    | "nitric acid"
    | "hydrochloric acid"
    | "sulfuric acid"
    | "phosphoric acid"
    | "perchloric acid";
  /** mol/L */
  readonly molarity: number;
}

export const ACID_ANIONS: Readonly<Record<AcidMatrix["acid"], string>> = {
  "nitric acid": "nitrate",
  "hydrochloric acid": "chloride",
  "sulfuric acid": "sulfate",
  "phosphoric acid": "phosphate",
  "perchloric acid": "perchlorate",
};

/** @throws IonbookError "bad-matrix" for an acid that is not known or a molarity that is not above 0 */
export function requireMatrix(matrix: AcidMatrix | undefined, of: string): void {
  if (matrix === undefined) return;
  const { acid, molarity } = matrix ?? {};
  if (typeof acid === "string" && Object.hasOwn(ACID_ANIONS, acid) && molarity > 0 && molarity < 20) return;
  throw new IonbookError(
    "bad-matrix",
    `"${of}" is made up with ${String(molarity)} mol/L of ${String(acid)}; give { matrix: { acid, molarity } } with an acid of ${Object.keys(ACID_ANIONS).join(", ")} and mol/L above 0`,
  );
}
