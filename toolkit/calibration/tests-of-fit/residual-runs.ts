import { remembered } from "../../numeric/remembered-quantiles.js";

/** Runs of equal sign in a sequence of residuals. */
export interface RunsTest {
  readonly runs: number;
  readonly longestRun: number;
  /** Probability of so few runs in a random order. */
  readonly p: number;
}

/**
 * Whether residuals keep their sign for longer than chance would: the number of runs R among n₊ positive and n₋
 * negative ones, with the exact lower tail P(R ≤ r) over all orders. Zeros are left out.
 * @source A. Wald and J. Wolfowitz, Ann. Math. Statist. 11 (1940) 147
 */
export function residualRuns(residuals: readonly number[]): RunsTest {
  let runs = 0;
  let length = 0;
  let longestRun = 0;
  let before = 0;
  for (const residual of residuals) {
    if (residual === 0) continue;
    if (before === 0 || residual > 0 !== before > 0) {
      runs++;
      length = 0;
    }
    before = residual;
    length++;
    longestRun = Math.max(longestRun, length);
  }
  const { positive, negative } = signsOf(residuals);
  return { runs, longestRun, p: lowerTail(runs, positive, negative) };
}

/** The fewest runs that are no pattern: P(R ≤ r) is at least α. */
export function criticalRuns(residuals: readonly number[], alpha: number): number {
  const { positive, negative } = signsOf(residuals);
  return fewestRuns(alpha, positive, negative);
}

function signsOf(residuals: readonly number[]): { readonly positive: number; readonly negative: number } {
  let positive = 0;
  let negative = 0;
  for (const residual of residuals) {
    if (residual > 0) positive++;
    else if (residual < 0) negative++;
  }
  return { positive, negative };
}

const fewestRuns = remembered((alpha, positive, negative) => {
  let runs = 1;
  while (lowerTail(runs, positive, negative) < alpha) runs++;
  return runs;
});

const lowerTail = remembered((runs, positive, negative) => {
  if (positive === 0 || negative === 0) return 1;
  let ways = 0;
  for (let r = 2; r <= runs; r++) {
    const j = Math.floor(r / 2);
    const even = 2 * choose(positive - 1, j - 1) * choose(negative - 1, j - 1);
    const odd =
      choose(positive - 1, j) * choose(negative - 1, j - 1) +
      choose(positive - 1, j - 1) * choose(negative - 1, j);
    ways += r % 2 === 0 ? even : odd;
  }
  return Math.min(1, ways / choose(positive + negative, positive));
});

function choose(n: number, k: number): number {
  if (k < 0 || k > n) return 0;
  let product = 1;
  for (let i = 1; i <= k; i++) product *= (n - k + i) / i;
  return product;
}
