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
  const signs = residuals.filter((r) => r !== 0).map((r) => r > 0);
  let runs = 0;
  let length = 0;
  let longestRun = 0;
  signs.forEach((sign, i) => {
    if (i === 0 || sign !== signs[i - 1]) {
      runs++;
      length = 0;
    }
    length++;
    longestRun = Math.max(longestRun, length);
  });
  const positive = signs.filter(Boolean).length;
  return { runs, longestRun, p: lowerTail(runs, positive, signs.length - positive) };
}

/** The fewest runs that are no pattern: P(R ≤ r) is at least α. */
export function criticalRuns(residuals: readonly number[], alpha: number): number {
  const positive = residuals.filter((r) => r > 0).length;
  const negative = residuals.filter((r) => r < 0).length;
  let runs = 1;
  while (lowerTail(runs, positive, negative) < alpha) runs++;
  return runs;
}

function lowerTail(runs: number, positive: number, negative: number): number {
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
}

function choose(n: number, k: number): number {
  if (k < 0 || k > n) return 0;
  let product = 1;
  for (let i = 1; i <= k; i++) product *= (n - k + i) / i;
  return product;
}
