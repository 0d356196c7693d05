/** A text that wants to stand above a point. */
export interface LabelWish {
  readonly text: string;
  /** Point it belongs to, px. */
  readonly x: number;
  readonly y: number;
}

/** Where the text goes: its centre and foot, px; `far` when it needs a line to its point. */
export interface LabelPlace {
  readonly index: number;
  readonly x: number;
  readonly y: number;
  /** Half its width. */
  readonly half: number;
  readonly far: boolean;
}

/** Estimated width of a text in a common sans-serif, px. Stands alone: its source text also goes into pages. */
export function textWidth(text: string, size: number): number {
  let width = 0;
  for (const character of text) {
    if (/[ijl.,:;|'!]/.test(character)) width += 0.31;
    else if (/[ ftrI()\u202f\u2009]/.test(character)) width += 0.4;
    else if (/[mwMW%±×−]/.test(character)) width += 0.9;
    else if (/[A-Z]/.test(character)) width += 0.69;
    else if (/[⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻₀₁₂₃₄₅₆₇₈₉]/.test(character)) width += 0.42;
    else width += 0.62;
  }
  return width * size;
}

/**
 * Places for labels above their points so that no two texts touch and none lies on the line: taller peaks choose
 * first, each takes the nearest free place, sideways or up. A label without a free place is left out,
 * and so is one that a neighbour of the same name, nearer than its own width, tells already.
 * `ceiling[c]` is the top of the line in pixel column c of a panel `ceiling.length` wide; y grows downwards from the
 * panel's upper edge and may reach `band` px above it. Stands alone: its source text also goes into pages.
 */
export function placeLabels(
  wishes: readonly LabelWish[],
  ceiling: Float64Array,
  band: number,
  size: number,
  widthOf: (text: string, size: number) => number,
): LabelPlace[] {
  const row = size + 2;
  const taken: { left: number; right: number; top: number; foot: number }[] = [];
  const places: LabelPlace[] = [];
  const order = wishes.map((_, index) => index).sort((a, b) => wishes[a].y - wishes[b].y);
  for (const index of order) {
    const wish = wishes[index];
    const half = widthOf(wish.text, size) / 2 + 2;
    const told = ({ index: other }: LabelPlace) =>
      wishes[other].text === wish.text && Math.abs(wishes[other].x - wish.x) < 2 * half;
    if (places.some(told)) continue;
    let best: { cost: number; x: number; foot: number } | undefined;
    for (let step = 0; step <= 22; step += 1) {
      const shift = (step % 2 === 0 ? 1 : -1) * Math.ceil(step / 2) * 7;
      const x = Math.min(Math.max(wish.x + shift, half), ceiling.length - half + 8);
      const from = Math.max(0, Math.floor(x - half));
      const to = Math.min(ceiling.length - 1, Math.ceil(x + half));
      let foot = wish.y - 4;
      for (let column = from; column <= to; column += 1) foot = Math.min(foot, ceiling[column] - 3);
      foot = Math.max(foot, 0) === 0 ? Math.min(foot, -3) : foot;
      const hit = (): (typeof taken)[number] | undefined =>
        taken.find(
          (box) => x - half < box.right && x + half > box.left && foot - row < box.foot && foot > box.top,
        );
      for (let box = hit(); box !== undefined; box = hit()) foot = box.top - 1;
      const cost = Math.abs(x - wish.x) * 1.1 + (wish.y - foot);
      if (foot - row >= -band && (best === undefined || cost < best.cost)) best = { cost, x, foot };
    }
    if (best === undefined) continue;
    taken.push({ left: best.x - half, right: best.x + half, top: best.foot - row, foot: best.foot });
    const far = Math.abs(best.x - wish.x) > 0.7 * half || wish.y - best.foot > 16;
    places.push({ index, x: best.x, y: best.foot - 2, half: half - 2, far });
  }
  return places;
}
