/** Stretches of a record whose peaks are about equally wide, and that width. */
export interface WidthRung {
  /** Standard deviation, samples. */
  readonly width: number;
  /** From the first sample to the one behind the last. */
  readonly stretches: readonly (readonly [from: number, to: number])[];
}

/** Widths within one rung differ by less than this factor: filter scales stand further apart than that. */
const RUNG = 1.3;
/** Places at which the width is asked for. */
const PLACES = 256;

/**
 * The rungs of a ladder of widths that a record needs. The width in the middle of the record is one of them, so that a
 * record of one width has one rung of just that width.
 *
 * @param widthAt standard deviation in samples of the peaks expected at an index
 */
export function widthRungs(length: number, widthAt: (index: number) => number): readonly WidthRung[] {
  const reference = widthAt(length >> 1);
  const places = Math.min(PLACES, length);
  const stretches = new Map<number, [number, number][]>();
  let before: number | undefined;
  for (let p = 0; p < places; p++) {
    const [from, to] = [Math.floor((p * length) / places), Math.floor(((p + 1) * length) / places)];
    const width = widthAt((from + to) >> 1);
    const rung = Math.round(Math.log(width / reference) / Math.log(RUNG));
    const own = stretches.get(rung) ?? [];
    if (rung === before) own[own.length - 1][1] = to;
    else own.push([from, to]);
    stretches.set(rung, own);
    before = rung;
  }
  return [...stretches].map(([rung, own]) => ({ width: reference * RUNG ** rung, stretches: own }));
}
