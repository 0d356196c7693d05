export { shortShare as shortShareOf } from "../scenes/rows.js";
export { quantile, shareOf } from "../scenes/statistics.js";
