// Local maxima with at least the given prominence and width at half prominence (samples), as the batch peer asks for.
// Definitions: prominence = height over the higher of the two lowest points on the way to higher ground;
// width between the crossings of height − prominence/2, interpolated linearly.
export function prominentPeaks(y, prominence, width) {
  return measuredPeaks(y, prominence, width).map(({ at }) => at);
}

/** The same with prominence and width of each. */
export function measuredPeaks(y, prominence, width) {
  const { tops, valleys, count } = maxima(y);
  const left = new Float64Array(count);
  const right = new Float64Array(count);
  lowestBefore(y, tops, valleys, count, left);
  lowestBehind(y, tops, valleys, count, right);
  const found = [];
  for (let k = 0; k < count; k++) {
    const at = tops[k];
    const own = y[at] - Math.max(left[k], right[k]);
    if (!(own >= prominence)) continue;
    const wide = widthAt(y, at, y[at] - own / 2);
    if (wide >= width) found.push({ at, prominence: own, width: wide });
  }
  return found;
}

/** Local maxima (the middle of a flat top) and, before each and behind the last, the lowest sample between them. */
function maxima(y) {
  const n = y.length;
  const tops = new Int32Array((n >> 1) + 1);
  const valleys = new Float64Array((n >> 1) + 2);
  let count = 0;
  let lowest = y[0];
  for (let i = 1; i < n - 1; i++) {
    const value = y[i];
    if (value < lowest) lowest = value;
    if (!(y[i - 1] < value) || y[i + 1] > value) continue;
    let ahead = i + 1;
    while (ahead < n - 1 && y[ahead] === value) ahead++;
    if (y[ahead] < value) {
      tops[count] = (i + ahead - 1) >> 1;
      valleys[count++] = lowest;
      lowest = y[ahead];
    }
    i = ahead - 1;
  }
  valleys[count] = Math.min(lowest, y[n - 1]);
  return { tops, valleys, count };
}

/** The lowest sample before each maximum on the way to a higher one, or to the record's begin: one pass with a stack. */
function lowestBefore(y, tops, valleys, count, out) {
  const higher = new Int32Array(count);
  let depth = 0;
  for (let k = 0; k < count; k++) {
    let lowest = valleys[k];
    while (depth > 0 && y[tops[higher[depth - 1]]] <= y[tops[k]])
      lowest = Math.min(lowest, out[higher[--depth]]);
    out[k] = lowest;
    higher[depth++] = k;
  }
}

/** The same behind, from the record's end. */
function lowestBehind(y, tops, valleys, count, out) {
  const higher = new Int32Array(count);
  let depth = 0;
  for (let k = count - 1; k >= 0; k--) {
    let lowest = valleys[k + 1];
    while (depth > 0 && y[tops[higher[depth - 1]]] <= y[tops[k]])
      lowest = Math.min(lowest, out[higher[--depth]]);
    out[k] = lowest;
    higher[depth++] = k;
  }
}

function widthAt(y, at, level) {
  let i = at;
  while (i > 0 && level < y[i]) i--;
  let from = i;
  if (y[i] < level) from += (level - y[i]) / (y[i + 1] - y[i]);
  let j = at;
  while (j < y.length - 1 && level < y[j]) j++;
  let to = j;
  if (y[j] < level) to -= (level - y[j]) / (y[j - 1] - y[j]);
  return to - from;
}
