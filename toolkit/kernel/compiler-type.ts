/** The compiler that tslab brings along; only its types are named here, it is loaded when asked for. */
export type TypeScript = typeof import("@tslab/typescript-for-tslab");
