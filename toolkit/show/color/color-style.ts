import { COLORS } from "./ion-colors.js";

/** One style rule per colour: `--c` for fills and lines, `--l` for text on the ground of the moment. */
export function colorStyle(): string {
  const names = Object.entries(COLORS);
  const light = names.map(([name, tones]) => `.ib-${name}{--c:${tones.fill};--l:${tones.onLight}}`).join("");
  const dark = names.map(([name, tones]) => `.ib-${name}{--l:${tones.onDark}}`).join("");
  return `${light}@media screen and (prefers-color-scheme:dark){${dark}}`;
}
