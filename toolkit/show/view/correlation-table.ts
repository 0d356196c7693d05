import type { NaturalCovariance } from "../../peaks/fitting/natural-covariance.js";
import type { UnseenTail } from "../../peaks/fitting/unseen-tails.js";
import { type Content, html } from "../text/markup.js";
import { fixed } from "../text/numbers.js";

const LETTERS: Readonly<Record<string, string>> = {
  alpha: "α",
  area: "A",
  background: "b",
  slope: "b′",
  mu: "μ",
  q: "q",
  sigma: "σ",
  tau: "τ",
};

/** "A₁", "σ", "b′": a parameter of a fit in one or two letters; other names as they are. */
export function parameterSymbol(name: string): string {
  const [, word, number = ""] = /^(\w+)(?: (\d+))?$/.exec(name) ?? [];
  const letter = word === undefined || !Object.hasOwn(LETTERS, word) ? undefined : LETTERS[word];
  if (letter === undefined) return name;
  return letter + number.replace(/\d/g, (digit) => "₀₁₂₃₄₅₆₇₈₉"[Number(digit)]);
}

/** Correlation of two parameters; 0 where one of them has no variance. */
function correlation(covariance: NaturalCovariance["covariance"], a: number, b: number): number {
  const product = covariance[a][a] * covariance[b][b];
  return product > 0 ? covariance[a][b] / Math.sqrt(product) : 0;
}

/** From this size on a correlation is worth a sentence. */
const STRONG = 0.9;

/** Whether a parameter is the centre, width or tail of one of these peaks. */
function shapes(name: string, peaks: readonly UnseenTail[]): boolean {
  const [, number] = /^(?:mu|sigma|tau)(?: (\d+))?$/.exec(name) ?? [];
  return number === undefined
    ? /^(?:sigma|tau)$/.test(name) && peaks.length > 0
    : peaks.some(({ peak }) => peak === Number(number));
}

/**
 * Which parameters the record can hardly tell apart, in words. Where no tail shows, centre and width follow a τ that says
 * nothing: those pairs are left out.
 */
export function strongCorrelations(
  { parameters, covariance }: NaturalCovariance,
  unseen: readonly UnseenTail[] = [],
  most = 3,
): string {
  const pairs = parameters
    .flatMap((_, row) =>
      parameters.slice(0, row).map((_, column) => ({ row, column, r: correlation(covariance, row, column) })),
    )
    .filter(({ row, column }) => !(shapes(parameters[row], unseen) && shapes(parameters[column], unseen)));
  const strong = pairs.filter(({ r }) => Math.abs(r) >= STRONG).sort((a, b) => Math.abs(b.r) - Math.abs(a.r));
  if (strong.length === 0) return `No two parameters are correlated by more than ${STRONG}.`;
  const named = strong
    .slice(0, most)
    .map(
      ({ row, column, r }) =>
        `${parameterSymbol(parameters[column])} with ${parameterSymbol(parameters[row])} (${fixed(r, 3)})`,
    );
  const rest = strong.length > most ? `, and ${strong.length - most} more above ${STRONG}` : "";
  return `Hardly told apart: ${named.join(", ")}${rest}.`;
}

/** The covariance of a fit as correlations, lower triangle, with the standard uncertainty of each parameter. */
export function correlationTable({ parameters, covariance }: NaturalCovariance): Content {
  const symbols = parameters.map(parameterSymbol);
  const rows = parameters.map((name, row) => {
    const cells = parameters.map((_, column) => {
      if (column > row) return html`<td></td>`;
      if (column === row) return html`<td class="num less">1</td>`;
      const r = correlation(covariance, row, column);
      const text = fixed(r, 2);
      return html`<td class="num${Math.abs(r) < 0.5 ? " less" : ""}">${Math.abs(r) >= STRONG ? html`<strong>${text}</strong>` : text}</td>`;
    });
    return html`<tr><th scope="row" title="${name}">${symbols[row]}</th>${cells}</tr>\n`;
  });
  const heads = symbols.map((symbol) => html`<th class="num" scope="col">${symbol}</th>`);
  return html`<div class="scroll wide"><table><thead><tr><th></th>${heads}</tr></thead><tbody>${rows}</tbody></table></div>`;
}
