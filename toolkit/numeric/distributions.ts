export { chiSquaredQuantile, chiSquaredUpperTail } from "./chi-squared-distribution.js";
export { fisherQuantile, fisherUpperTail } from "./fisher-distribution.js";
export { noncentralStudentCdf, noncentralStudentQuantile } from "./noncentral-student-distribution.js";
export { studentCdf, studentQuantile } from "./student-distribution.js";
