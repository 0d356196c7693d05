/** "1 sample", "2 samples", "no samples". */
export function counted(count: number, one: string, many = `${one}s`): string {
  if (count === 0) return `no ${many}`;
  return count === 1 ? `1 ${one}` : `${count} ${many}`;
}

/** "a", "a and b", "a, b and c"; after `most` names the rest is counted: "a, b and 4 more". */
export function listed(names: readonly string[], most = 6): string {
  const shown = names.length > most + 1 ? names.slice(0, most) : names;
  const rest = names.length - shown.length;
  const last = rest > 0 ? `${rest} more` : shown[shown.length - 1];
  const before = rest > 0 ? shown : shown.slice(0, -1);
  return before.length === 0 ? (last ?? "") : `${before.join(", ")} and ${last}`;
}

/** The same text with a capital first letter. */
export function sentenceCase(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** The distinct entries in the order of first mention. */
export function distinct<T>(entries: readonly T[]): readonly T[] {
  return [...new Set(entries)];
}
