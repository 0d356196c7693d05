import { combineLinear, type MeasuredValue, over, plus } from "../../uncertainty/measured.js";
import type { ChargeGroup } from "./charge-groups.js";
import { clippedTo, coverageEllipse } from "./coverage-ellipse.js";
import {
  ANION_OFFSET,
  anionPoint,
  cationPoint,
  DIAMOND,
  diamondPoint,
  FIELDS,
  type FieldName,
  HEIGHT,
  type PlanePoint,
} from "./piper-coordinates.js";

/** A water's place in one of the three fields. */
export interface PiperPlace {
  /** Side 100, the left corner of the cation triangle at 0, 0; keeps the sources, so `covariance(x, y)` is known. */
  readonly x: MeasuredValue;
  readonly y: MeasuredValue;
  /** True where ions stand at a bound that moves the place visibly: drawn with an open symbol. */
  readonly open: boolean;
  /** Where the place would be if all that was only bounded were not there at all; undefined unless `open`. */
  readonly toward: PlanePoint | undefined;
  /** Joint coverage region, clipped to the field; empty without uncertainties. */
  readonly ellipse: readonly PlanePoint[];
}

/** A bound that moves a place by less than this part of the side of 100 is not seen. */
const VISIBLE = 1;

/** Parts of the charge of three groups, left, top and right, %, and the same without what is only bounded. */
export interface Parts {
  readonly values: readonly [MeasuredValue, MeasuredValue, MeasuredValue];
  readonly without: { readonly right: number; readonly top: number } | undefined;
  readonly leading: string | undefined;
}

export function percentages(groups: readonly ChargeGroup[]): Parts | undefined {
  const charges = groups.map(({ milliequivalents }) => milliequivalents);
  if (!charges.every((value): value is MeasuredValue => value !== undefined)) return undefined;
  const sum = combineLinear(
    charges.map((value) => ({ value, factor: 1 })),
    "meq/L",
  );
  if (!(sum.value > 0)) return undefined;
  const values = charges.map((value) => combineLinear([{ value: over(value, sum), factor: 100 }], "%"));
  const least = charges.map((value, i) => value.value - groups[i].bounded);
  const rest = least.reduce((total, value) => total + value, 0);
  const share = (value: number) => (100 * value) / rest;
  const leading = groups.find((_, i) => values[i].value > 50);
  return {
    values: [values[0], values[1], values[2]],
    without: rest > 0 ? { top: share(least[1]), right: share(least[2]) } : undefined,
    leading: leading?.name,
  };
}

/** A place, and where it would be without bounded ions. */
export interface Placed {
  readonly place: PiperPlace;
  readonly without: PlanePoint;
}

export function placeOf(field: "cations" | "anions", parts: Parts, level: number): Placed {
  const [, top, right] = parts.values;
  const x = plus(
    combineLinear(
      [
        { value: right, factor: 1 },
        { value: top, factor: 1 / 2 },
      ],
      "1",
    ),
    field === "cations" ? 0 : ANION_OFFSET,
  );
  const y = combineLinear([{ value: top, factor: HEIGHT }], "1");
  const here = { x: x.value, y: y.value };
  const without = parts.without === undefined ? here : pointWithout(field, parts.without);
  return { place: placed(x, y, without, parts.without === undefined, field, level), without };
}

function pointWithout(
  field: "cations" | "anions",
  { right, top }: { right: number; top: number },
): PlanePoint {
  return field === "cations"
    ? cationPoint({ sodiumPotassium: right, magnesium: top })
    : anionPoint({ chloride: right, sulfate: top });
}

export function diamondPlace(cations: Placed, anions: Placed, level: number): PiperPlace {
  const along = (form: typeof DIAMOND.x | typeof DIAMOND.y): MeasuredValue =>
    combineLinear(
      [
        { value: cations.place.x, factor: form.cationX },
        { value: anions.place.x, factor: form.anionX },
        { value: cations.place.y, factor: form.cationY },
        { value: anions.place.y, factor: form.anionY },
      ],
      "1",
    );
  const without = diamondPoint(cations.without, anions.without);
  const unknown = [cations.place, anions.place].some(({ open, toward }) => open && toward === undefined);
  return placed(along(DIAMOND.x), along(DIAMOND.y), without, unknown, "diamond", level);
}

function placed(
  x: MeasuredValue,
  y: MeasuredValue,
  without: PlanePoint,
  unknown: boolean,
  field: FieldName,
  level: number,
): PiperPlace {
  const moved = Math.hypot(without.x - x.value, without.y - y.value) >= VISIBLE;
  return {
    x,
    y,
    open: moved || unknown,
    toward: moved ? without : undefined,
    ellipse: clippedTo(FIELDS[field], coverageEllipse(x, y, level)),
  };
}
