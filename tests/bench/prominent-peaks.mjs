// Local maxima with at least the given prominence and width at half prominence (samples), as the batch peer asks for.
// Definitions: prominence = height over the higher of the two lowest points on the way to higher ground;
// width between the crossings of height − prominence/2, interpolated linearly.
export function prominentPeaks(y, prominence, width) {
  return measuredPeaks(y, prominence, width).map(({ at }) => at);
}

/** The same with prominence and width of each. */
export function measuredPeaks(y, prominence, width) {
  const found = [];
  for (let i = 1; i < y.length - 1; i++) {
    if (!(y[i - 1] < y[i])) continue;
    let ahead = i + 1;
    while (ahead < y.length - 1 && y[ahead] === y[i]) ahead++;
    if (!(y[ahead] < y[i])) continue;
    const at = (i + ahead - 1) >> 1;
    const p = prominenceAt(y, at);
    if (p >= prominence) {
      const own = widthAt(y, at, y[at] - p / 2);
      if (own >= width) found.push({ at, prominence: p, width: own });
    }
    i = ahead - 1;
  }
  return found;
}

function prominenceAt(y, at) {
  let left = y[at];
  for (let i = at; i >= 0 && y[i] <= y[at]; i--) if (y[i] < left) left = y[i];
  let right = y[at];
  for (let i = at; i < y.length && y[i] <= y[at]; i++) if (y[i] < right) right = y[i];
  return y[at] - Math.max(left, right);
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
