import { IonbookError } from "../errors.js";
import { combineLinear, type MeasuredValue } from "../uncertainty/measured.js";
import type { AnyDesignOptions } from "./comparison-options.js";
import type { VisitGroup } from "./mean-contrast.js";
import type { Series } from "./series.js";
import type { SeriesDesign } from "./series-comparison.js";
import { type Period, pairDays, type VisitDay, visitDays } from "./visit-days.js";

/** What a design makes of the visits. */
export interface Study {
  readonly about: string;
  /** The groups whose means are compared; one group for pairs. */
  readonly groups: readonly VisitGroup[];
  readonly places: readonly { readonly place: string; readonly days: readonly VisitDay[] }[];
  readonly leftOut: readonly string[];
}

/** @throws IonbookError "unpaired-days" naming them; whatever `visitDays` and `pairDays` refuse */
export function studyOf(treated: Series, control: Series | undefined, options: AnyDesignOptions): Study {
  const { design, change } = options;
  const withChange = hasChange(design);
  const daysOf = (series: Series) => visitDays(series, { needed: withChange, change });
  const days = daysOf(treated);
  if (control === undefined) {
    const places = [{ place: treated.place, days }];
    return { about: `${treated.ion}, ${treated.place}`, groups: byPeriod(days), places, leftOut: [] };
  }
  const about = `${treated.ion}, ${treated.place} − ${control.place}`;
  const named = (place: string, its: readonly VisitDay[]) => ({ place, days: its });
  if (design === "independent") {
    const places = [named(treated.place, days), named(control.place, daysOf(control))];
    const groups = places.map(({ place, days: its }) => ({
      name: place,
      values: its.map((day) => day.value),
    }));
    return { about, groups, places, leftOut: [] };
  }
  const { pairs, unpaired } = pairDays(days, daysOf(control), [treated.place, control.place]);
  requirePaired(unpaired, options);
  const differences = pairs.map((pair) => ({ ...pair.treated, value: difference(pair) }));
  const places = [
    named(
      treated.place,
      pairs.map((pair) => pair.treated),
    ),
    named(
      control.place,
      pairs.map((pair) => pair.control),
    ),
  ];
  const groups =
    design === "paired"
      ? [{ name: "of the differences", values: differences.map(({ value }) => value) }]
      : byPeriod(differences);
  return { about, groups, places, leftOut: unpaired };
}

function difference(pair: { readonly treated: VisitDay; readonly control: VisitDay }): MeasuredValue {
  const { value } = pair.treated;
  return combineLinear(
    [
      { value, factor: 1 },
      { value: pair.control.value, factor: -1 },
    ],
    value.unit,
  );
}

/** After first: it is what the others are taken from. */
export function byPeriod(days: readonly VisitDay[]): readonly VisitGroup[] {
  return (["after", "before"] as const).map((name) => ({ name, values: valuesOf(days, name) }));
}

export function valuesOf(days: readonly VisitDay[], period: Period | undefined): readonly MeasuredValue[] {
  return days.filter((day) => day.period === period).map(({ value }) => value);
}

function requirePaired(unpaired: readonly string[], { unpaired: rule = "refuse" }: AnyDesignOptions): void {
  if (unpaired.length === 0 || rule === "leave out") return;
  throw new IonbookError(
    "unpaired-days",
    `Visited at one place only: ${unpaired.join(", ")}. Write unpaired: "leave out" to compare without these visits, or choose design "independent" for places visited on different days`,
  );
}

/** True for the designs that look at a change and not at a difference between places. */
export function hasChange(design: SeriesDesign): boolean {
  return design === "before-after" || design === "before-after-control";
}
