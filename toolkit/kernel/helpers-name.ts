/** What a running cell reaches under this name: `guard`, `define` and `load` of the cell runner. */
export const HELPERS = "__ionbook__";
