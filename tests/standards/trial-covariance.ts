/** Covariances between the columns of `rows`, which hold `width` numbers for each trial. */
export function covarianceOf(
  rows: Float64Array,
  width: number,
  trials: number,
): readonly (readonly number[])[] {
  const columns = Array.from({ length: width }, (_, i) => i);
  const mean = columns.map((i) => {
    let sum = 0;
    for (let t = 0; t < trials; t++) sum += rows[width * t + i];
    return sum / trials;
  });
  return columns.map((i) =>
    columns.map((j) => {
      let sum = 0;
      for (let t = 0; t < trials; t++) {
        sum += (rows[width * t + i] - mean[i]) * (rows[width * t + j] - mean[j]);
      }
      return sum / (trials - 1);
    }),
  );
}
