export { erf, erfc, erfcx } from "./error-function.js";
export { logGamma } from "./gamma-function.js";
export { regularizedBeta } from "./incomplete-beta.js";
export { regularizedGammaP, regularizedGammaQ } from "./incomplete-gamma.js";
export { normalCdf, normalPdf, normalQuantile } from "./normal-distribution.js";
