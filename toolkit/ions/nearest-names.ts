/**
 * The known names most like a wrong one, best first: at most `count`, none farther than half the word.
 * Distance is the number of letters to insert, delete, replace or swap with their neighbour.
 */
export function nearestNames(wrong: string, known: readonly string[], count = 3): readonly string[] {
  const word = wrong.toLowerCase();
  return known
    .map((name) => ({ name, distance: editDistance(word, name.toLowerCase()) }))
    .filter(({ name, distance }) => distance <= Math.max(2, Math.min(word.length, name.length) / 2))
    .sort((a, b) => a.distance - b.distance || a.name.localeCompare(b.name, "en"))
    .slice(0, count)
    .map(({ name }) => name);
}

/** Letters to insert, delete, replace or swap with their neighbour to turn one word into the other. O(len·len). */
export function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + same);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (swapped) row[j] = Math.min(row[j], before[j - 2] + 1);
    }
    before = last;
    last = row;
  }
  return last[b.length];
}
