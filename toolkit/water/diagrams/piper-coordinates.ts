/** A place in the diagram; each triangle has a side of 100, the left one's left corner is the origin, y upwards. */
export interface PlanePoint {
  readonly x: number;
  readonly y: number;
}

/** Side of each triangle: 100 %. */
export const SIDE = 100;
/** Height of a triangle of side 1. */
export const HEIGHT = Math.sqrt(3) / 2;
/** Where the triangle of the anions begins; the gap between the two is 20. */
export const ANION_OFFSET = 120;

/**
 * Place of three parts in an equilateral triangle of side 100: x = right + ½·top, y = ½√3·top.
 *
 * @param percent parts that add up to 100; the left corner's follows from the other two
 * @source A.M. Piper, Trans. Am. Geophys. Union 25 (1944) 914; formulas: affine coordinates of a triangle
 */
export function trianglePoint(percent: { readonly right: number; readonly top: number }): PlanePoint {
  return { x: percent.right + percent.top / 2, y: HEIGHT * percent.top };
}

/** Place of a water's cations, calcium left, sodium with potassium right, magnesium on top; parts of the charge, %. */
export function cationPoint(percent: {
  readonly sodiumPotassium: number;
  readonly magnesium: number;
}): PlanePoint {
  return trianglePoint({ right: percent.sodiumPotassium, top: percent.magnesium });
}

/** Place of its anions, hydrogencarbonate left, chloride right, sulfate on top; parts of the charge, %. */
export function anionPoint(percent: { readonly chloride: number; readonly sulfate: number }): PlanePoint {
  const { x, y } = trianglePoint({ right: percent.chloride, top: percent.sulfate });
  return { x: x + ANION_OFFSET, y };
}

/** Linear forms of the two places in the diamond: where the line of equal magnesium meets that of equal sulfate. */
export const DIAMOND = {
  x: { cationX: 1 / 2, anionX: 1 / 2, cationY: -1 / (2 * Math.sqrt(3)), anionY: 1 / (2 * Math.sqrt(3)) },
  y: { cationX: -Math.sqrt(3) / 2, anionX: Math.sqrt(3) / 2, cationY: 1 / 2, anionY: 1 / 2 },
} as const;

/**
 * Place in the diamond: x = ½·(x_c + x_a + (y_a − y_c)/√3), y = ½·(y_c + y_a + √3·(x_a − x_c)): both points go up
 * along the outer sides of their triangles until they meet.
 *
 * @source A.M. Piper, Trans. Am. Geophys. Union 25 (1944) 914
 */
export function diamondPoint(cations: PlanePoint, anions: PlanePoint): PlanePoint {
  const along = (form: typeof DIAMOND.x | typeof DIAMOND.y): number =>
    form.cationX * cations.x + form.anionX * anions.x + form.cationY * cations.y + form.anionY * anions.y;
  return { x: along(DIAMOND.x), y: along(DIAMOND.y) };
}

/** Corners of the three fields, against the clock. */
export const FIELDS = {
  cations: [
    { x: 0, y: 0 },
    { x: SIDE, y: 0 },
    { x: SIDE / 2, y: HEIGHT * SIDE },
  ],
  anions: [
    { x: ANION_OFFSET, y: 0 },
    { x: ANION_OFFSET + SIDE, y: 0 },
    { x: ANION_OFFSET + SIDE / 2, y: HEIGHT * SIDE },
  ],
  // All sodium and hydrogencarbonate, all sodium and chloride, all calcium and chloride, all calcium and hydrogencarbonate.
  diamond: [
    diamondPoint({ x: SIDE, y: 0 }, { x: ANION_OFFSET, y: 0 }),
    diamondPoint({ x: SIDE, y: 0 }, { x: ANION_OFFSET + SIDE, y: 0 }),
    diamondPoint({ x: 0, y: 0 }, { x: ANION_OFFSET + SIDE, y: 0 }),
    diamondPoint({ x: 0, y: 0 }, { x: ANION_OFFSET, y: 0 }),
  ],
} as const satisfies Record<string, readonly PlanePoint[]>;

export type FieldName = keyof typeof FIELDS;
