import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";

/** A typeface of the formulae, and what in a page shows that it is needed. */
const FACES: readonly (readonly [file: string, sign: RegExp])[] = [
  ["Main-Regular", /class="katex"/],
  ["Math-Italic", /mathnormal/],
  ["Main-Bold", /mathbf|textbf/],
  ["Main-Italic", /mathit|textit/],
  ["Main-BoldItalic", /textbf[^"]*textit|textit[^"]*textbf/],
  ["Math-BoldItalic", /boldsymbol/],
  ["AMS-Regular", /amsrm|mathbb|textbb/],
  ["Caligraphic-Regular", /mathcal/],
  ["Fraktur-Regular", /mathfrak|textfrak/],
  ["SansSerif-Regular", /mathsf|textsf/],
  ["Script-Regular", /mathscr|textscr/],
  ["Typewriter-Regular", /mathtt|texttt/],
  ["Size1-Regular", /size1|small-op/],
  ["Size2-Regular", /size2|large-op/],
  ["Size3-Regular", /size3/],
  ["Size4-Regular", /size4/],
];

/**
 * Style of the formulae of `page`, with the typefaces that it uses inside, so that they look the same on every
 * machine; empty for a page without formulae.
 */
export async function mathStyle(page: string): Promise<string> {
  if (!page.includes('class="katex"')) return "";
  const folder = dirname(createRequire(import.meta.url).resolve("katex/dist/katex.min.css"));
  const whole = await readFile(join(folder, "katex.min.css"), "utf8");
  const faces = await Promise.all(
    FACES.filter(([, sign]) => sign.test(page)).map(([name]) => fontFace(whole, folder, name)),
  );
  return `${faces.join("\n")}\n${whole.replace(/@font-face\{[^}]*\}/g, "")}`;
}

/** The rule of one typeface, its file in place of its address. */
async function fontFace(style: string, folder: string, name: string): Promise<string> {
  const file = `fonts/KaTeX_${name}.woff2`;
  const rule = style.match(/@font-face\{[^}]*\}/g)?.find((each) => each.includes(file)) ?? "";
  const data = (await readFile(join(folder, file))).toString("base64");
  return rule.replace(/src:[^;}]*/, `src:url(data:font/woff2;base64,${data}) format("woff2")`);
}
