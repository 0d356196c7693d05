import { IonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { type BoundedFigure, boundedFigure, type Term } from "./bounded.js";
import type { SeaWater } from "./sea-water.js";

/** One ion beside the sea salt that the reference ion speaks for. */
export interface SeaSaltPart {
  readonly ion: string;
  /** Mass ratio to the reference ion in this water. */
  readonly ratio: BoundedFigure | undefined;
  /** The same in sea water. */
  readonly seaRatio: number;
  /** ratio/seaRatio */
  readonly enrichment: BoundedFigure | undefined;
  /** What does not come with sea salt, mg/L; negative where the ion lags behind the reference. */
  readonly nonSeaSalt: BoundedFigure;
  /** 100·nonSeaSalt/concentration. */
  readonly share: BoundedFigure | undefined;
}

export interface SeaSalt {
  /** The ion that is taken to come with sea salt alone. */
  readonly reference: string;
  readonly source: string;
  readonly parts: readonly SeaSaltPart[];
}

/**
 * What of each ion comes with sea salt and what does not, by the reference ion R:
 * nss-X = X − (X/R)_sea·R, EF = (X/R)/(X/R)_sea; mg/L and mass ratios. Undefined where R was not determined.
 *
 * @throws IonbookError "unknown-ion", "bad-sea-water" where the reference has no concentration in sea water
 * @source W.C. Keene et al., J. Geophys. Res. 91 (1986) 6647 (form; from memory); composition: `seaWater.source`
 */
export function seaSalt(
  terms: Readonly<Record<string, Term>>,
  referenceName: string,
  seaWater: SeaWater,
): SeaSalt | undefined {
  const sea = readSeaWater(seaWater);
  const reference = ion(referenceName).name;
  const inSea = sea[reference];
  if (inSea === undefined) {
    throw new IonbookError(
      "bad-sea-water",
      `${reference} cannot stand for sea salt: its composition names ${Object.keys(sea).join(", ")}`,
    );
  }
  if (terms[reference] === undefined) return undefined;
  const parts = Object.entries(sea).flatMap(([name, content]) => {
    if (name === reference || terms[name] === undefined) return [];
    return [partOf(name, content / inSea, { x: terms[name], r: terms[reference] })];
  });
  return { reference, source: seaWater.source, parts };
}

function partOf(name: string, seaRatio: number, terms: { readonly x: Term; readonly r: Term }): SeaSaltPart {
  const of = (unit: string, falling: readonly string[], model: (x: number, r: number) => number) =>
    boundedFigure({ unit, falling, of: ({ x, r }) => model(x, r) }, terms);
  return {
    ion: name,
    ratio: of("1", ["r"], (x, r) => x / r),
    seaRatio,
    enrichment: of("1", ["r"], (x, r) => x / r / seaRatio),
    nonSeaSalt: of("mg/L", ["r"], (x, r) => x - seaRatio * r) as BoundedFigure,
    share: of("%", ["r"], (x, r) => 100 * (1 - (seaRatio * r) / x)),
  };
}

function readSeaWater(seaWater: SeaWater): Readonly<Record<string, number>> {
  const composition: unknown = seaWater?.composition;
  if (typeof composition !== "object" || composition === null) {
    throw new IonbookError(
      "bad-sea-water",
      "sea water is { source, composition: { sodium: 10.78, … } } in g/kg",
    );
  }
  return Object.fromEntries(
    Object.entries(composition).map(([key, content]) => {
      if (typeof content === "number" && content > 0) return [ion(key).name, content];
      throw new IonbookError("bad-sea-water", `${key} in sea water is ${String(content)}: give g/kg above 0`);
    }),
  );
}
