import { IonbookError } from "../../errors.js";
import { workArrays } from "../../numeric/work-arrays.js";
import type { CalibrationModel } from "./types.js";

/** The concentration of one response, and how it moves with the response and with each free coefficient. */
export interface Inverse {
  readonly concentration: number;
  /** dx/dy */
  readonly perResponse: number;
  /** dx/db for the free coefficients, in order. */
  readonly perCoefficient: readonly number[];
}

/** One shape of response curve. Coefficients are the free ones only. */
export interface ResponseModel {
  /** What is fitted: the response from the concentration, or ("weak") the concentration from the response. */
  readonly fits: "response" | "concentration";
  /** Powers of the predictor, one free coefficient each; of the physical model the one of its theory. */
  readonly powers: readonly number[];
  /** Column of coefficient k at a predictor t. */
  column(k: number, t: number): number;
  /** d(column)/dt */
  columnSlope(k: number, t: number): number;
  respond(b: ArrayLike<number>, x: number): number;
  /** The concentration alone; NaN where there is none. */
  find(b: ArrayLike<number>, y: number): number;
  /** dx/dy at a response; NaN where no concentration belongs to it. */
  perResponse(b: ArrayLike<number>, y: number): number;
  /** @throws IonbookError "no-inverse" */
  invert(b: ArrayLike<number>, y: number): Inverse;
}

/** Columns that are powers of the predictor, 0 to 2. */
function powersOf(powers: readonly (0 | 1 | 2)[]): Pick<ResponseModel, "powers" | "column" | "columnSlope"> {
  return {
    powers,
    column(k, t) {
      const power = powers[k];
      return power === 0 ? 1 : power === 1 ? t : t * t;
    },
    columnSlope(k, t) {
      const power = powers[k];
      return power === 0 ? 0 : power === 1 ? 1 : 2 * t;
    },
  };
}

const line: ResponseModel = {
  fits: "response",
  ...powersOf([0, 1]),
  respond: (b, x) => b[0] + b[1] * x,
  find: (b, y) => (y - b[0]) / b[1],
  perResponse: (b) => 1 / b[1],
  invert(b, y) {
    const x = (y - b[0]) / b[1];
    return { concentration: x, perResponse: 1 / b[1], perCoefficient: [-1 / b[1], -x / b[1]] };
  },
};

const throughZero: ResponseModel = {
  fits: "response",
  ...powersOf([1]),
  respond: (b, x) => b[0] * x,
  find: (b, y) => y / b[0],
  perResponse: (b) => 1 / b[0],
  invert(b, y) {
    const x = y / b[0];
    return { concentration: x, perResponse: 1 / b[0], perCoefficient: [-x / b[0]] };
  },
};

/** y = b0 + b1·x + b2·x², inverted on the branch that rises with x; its slope at the root is √(discriminant). */
const quadratic: ResponseModel = {
  fits: "response",
  ...powersOf([0, 1, 2]),
  respond: (b, x) => b[0] + x * (b[1] + x * b[2]),
  find(b, y) {
    const slope = slopeWhere(b, y);
    // Both forms are the same root; each loses digits where the other does not.
    return b[1] > 0 ? (2 * (y - b[0])) / (b[1] + slope) : (slope - b[1]) / (2 * b[2]);
  },
  perResponse: (b, y) => 1 / slopeWhere(b, y),
  invert(b, y) {
    const slope = slopeWhere(b, y);
    if (Number.isNaN(slope)) throw beyondVertex(b, y);
    const x = quadratic.find(b, y);
    return {
      concentration: x,
      perResponse: 1 / slope,
      perCoefficient: [-1 / slope, -x / slope, (-x * x) / slope],
    };
  },
};

/** dy/dx of the rising branch where the response is y; NaN where there is none. */
function slopeWhere(b: ArrayLike<number>, y: number): number {
  const discriminant = b[1] * b[1] - 4 * b[2] * (b[0] - y);
  return discriminant > 0 ? Math.sqrt(discriminant) : Number.NaN;
}

/**
 * x = a1·y + a2·y² of a weak acid or base after suppression. Below zero (noise around an absent peak) the curve is
 * continued as its mirror image, so that it rises everywhere and noise stays symmetric.
 */
const weak: ResponseModel = {
  fits: "concentration",
  ...powersOf([1, 2]),
  respond(a, x) {
    const size = Math.abs(x);
    return size === 0 ? 0 : (2 * x) / (a[0] + Math.sqrt(a[0] * a[0] + 4 * a[1] * size));
  },
  find: (a, y) => a[0] * y + a[1] * (y * Math.abs(y)),
  perResponse: (a, y) => a[0] + 2 * a[1] * Math.abs(y),
  invert(a, y) {
    const square = y * Math.abs(y);
    return {
      concentration: a[0] * y + a[1] * square,
      perResponse: weak.perResponse(a, y),
      perCoefficient: [y, square],
    };
  },
};

const models: Readonly<Record<Exclude<CalibrationModel, "physical">, ResponseModel>> = {
  linear: line,
  "through-zero": throughZero,
  quadratic,
  weak,
};

/** A model that needs nothing but its name. @throws IonbookError "unknown-model" */
export function responseModel(name: keyof typeof models): ResponseModel {
  const model = Object.hasOwn(models, name) ? models[name] : undefined;
  if (!model) {
    const known = [...Object.keys(models), "physical"].join(", ");
    throw new IonbookError("unknown-model", `No calibration model "${name}": choose one of ${known}`);
  }
  return model;
}

/** The model's columns over a predictor. */
export function columnsOf(model: ResponseModel, predictor: Float64Array): Float64Array[] {
  return model.powers.map((_, k) => columnInto(new Float64Array(predictor.length), model, k, predictor));
}

const columnArrays = [workArrays(), workArrays(), workArrays()];

/** The same in arrays that hold until the next call: for a fit that is done with them before. */
export function passingColumnsOf(model: ResponseModel, predictor: Float64Array): readonly Float64Array[] {
  return model.powers.map((_, k) => columnInto(columnArrays[k](predictor.length), model, k, predictor));
}

function columnInto(column: Float64Array, model: ResponseModel, k: number, predictor: Float64Array) {
  for (let i = 0; i < column.length; i++) column[i] = model.column(k, predictor[i]);
  return column;
}

/** dy/dx of a curve fitted in the response. */
export function slopeAt(model: ResponseModel, b: ArrayLike<number>, x: number): number {
  let slope = 0;
  for (let k = 0; k < model.powers.length; k++) slope += b[k] * model.columnSlope(k, x);
  return slope;
}

function beyondVertex(b: ArrayLike<number>, y: number): IonbookError {
  const vertex = -b[1] / (2 * b[2]);
  const turn = b[0] + (b[1] * vertex) / 2;
  return new IonbookError(
    "no-inverse",
    `The response ${y} lies beyond the vertex of the parabola (${turn.toPrecision(6)} at ${vertex.toPrecision(6)}): ` +
      'no concentration belongs to it. Dilute the sample, or choose another model (weak acids and bases: "weak")',
  );
}
