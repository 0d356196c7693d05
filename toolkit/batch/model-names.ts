/** Models and weightings that batch.json and `quantify` may name. */
export const MODELS = ["linear", "through-zero", "quadratic", "weak"] as const;
export const WEIGHTINGS = ["none", "1/x", "1/x^2"] as const;
