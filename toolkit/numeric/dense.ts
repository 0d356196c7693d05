export { choleskyFactor, choleskyInverse, choleskySolve } from "./cholesky.js";
export { type LeastSquaresSolution, solveLeastSquares } from "./linear-least-squares.js";
