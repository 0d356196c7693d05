const WIDTH = 160;
const HEIGHT = 26;

/**
 * A record as a small picture of 160 × 26 px: lowest and highest of each pixel column from minute `from` on, on a
 * square-root scale above the lowest, so that small peaks are seen beside giants. O(n).
 */
export function thumbnail(time: Float64Array, signal: Float64Array, from: number): string {
  const [start, end] = [Math.max(time[0], from), time[time.length - 1]];
  const low = new Float64Array(WIDTH).fill(Infinity);
  const high = new Float64Array(WIDTH).fill(-Infinity);
  let [least, most] = [Infinity, -Infinity];
  for (let index = 0; index < time.length; index += 1) {
    if (time[index] < start) continue;
    const column = Math.min(WIDTH - 1, Math.floor(((time[index] - start) / (end - start)) * WIDTH));
    const value = signal[index];
    if (value < low[column]) low[column] = value;
    if (value > high[column]) high[column] = value;
    if (value < least) least = value;
    if (value > most) most = value;
  }
  const y = (value: number): string => {
    const part = most > least ? Math.sqrt((value - least) / (most - least)) : 0;
    return (HEIGHT - 1 - part * (HEIGHT - 2)).toFixed(1);
  };
  let path = "";
  for (let column = 0; column < WIDTH; column += 1) {
    if (high[column] < low[column]) continue;
    path += `${path === "" ? "M" : "L"}${column} ${y(low[column])}L${column} ${y(high[column])}`;
  }
  return `<svg width="${WIDTH}" height="${HEIGHT}" viewBox="0 0 ${WIDTH} ${HEIGHT}" aria-hidden="true"><path d="${path}" fill="none" stroke="currentColor" stroke-width=".8"/></svg>`;
}
