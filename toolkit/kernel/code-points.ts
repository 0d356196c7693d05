/** UTF-16 units in front of the given number of characters. */
export function toUtf16(text: string, characters: number): number {
  let units = 0;
  let passed = 0;
  for (const character of text) {
    if (passed >= characters) break;
    units += character.length;
    passed += 1;
  }
  return units;
}

/** Characters in the given number of UTF-16 units. */
export function toCodePoints(text: string, units: number): number {
  return [...text.slice(0, units)].length;
}
