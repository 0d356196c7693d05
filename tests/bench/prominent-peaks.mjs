// Local maxima with at least the given prominence and width at half prominence (samples), as the batch peer asks for.
// Definitions: prominence = height over the higher of the two lowest points on the way to higher ground;
// width between the crossings of height − prominence/2, interpolated linearly.
export function prominentPeaks(y, prominence, width) {
  return measuredPeaks(y, prominence, width).map(({ at }) => at);
}

/** The same with prominence and width of each; the prominence asked for is above 0. */
export function measuredPeaks(y, prominence, width) {
  const { tops, valleys } = risesAndFalls(y, prominence);
  const count = tops.length;
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

/**
 * Maxima (the middle of a flat top) before and behind which the record falls by `least` until it rises above them, which
 * are those of at least that prominence, and, before each and behind the last, the lowest sample between them.
 */
function risesAndFalls(y, least) {
  const tops = [];
  const valleys = [];
  let rising = false;
  let top = 0;
  let low = y[0];
  let high = y[0];
  for (let i = 1; i < y.length; i++) {
    const value = y[i];
    if (rising) {
      if (value > high) {
        high = value;
        top = i;
      } else if (high - value >= least) {
        tops.push(middleOfFlat(y, top));
        rising = false;
        low = value;
      }
    } else if (value < low) {
      low = value;
    } else if (value - low >= least) {
      valleys.push(low);
      rising = true;
      high = value;
      top = i;
    }
  }
  valleys.push(low);
  return { tops, valleys };
}

function middleOfFlat(y, from) {
  let to = from;
  while (y[to + 1] === y[from]) to++;
  return (from + to) >> 1;
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
