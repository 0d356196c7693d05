import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { convert } from "../../ions/units.js";
import { speciate } from "../speciation/speciation.js";
import type { PublishedWater } from "./published-row.js";

export interface WaterAnalysisOptions {
  /** What stands for an ion found below a limit; default "left out". */
  readonly below?: "left out" | "limit" | "half the limit" | "zero";
}

/** What balance, conductivity and figures of a water ask for. */
export interface WaterAnalysis {
  /** mg/L by ion */
  readonly concentrations: Readonly<Record<string, number>>;
  readonly options: {
    readonly pH?: number;
    /** mg/L as CaCO3 */
    readonly alkalinity?: number;
  };
}

const SHARES = { limit: 1, "half the limit": 0.5, zero: 0 } as const;

/**
 * A published water as `chargeBalance`, `computedConductivity`, `compareConductivity` and `waterFigures` take it. Where
 * neither alkalinity nor hydrogencarbonate was determined but dissolved inorganic carbon and pH were, hydrogencarbonate and
 * carbonate are its shares at that pH (ionic strength 0).
 *
 * @throws IonbookError "no-water", "unknown-option", "bad-option"
 * @source dissolved inorganic carbon: constants as `speciate`
 */
export function waterAnalysis(water: PublishedWater, options: WaterAnalysisOptions = {}): WaterAnalysis {
  requireKnownOptions(options, { below: true }, "waterAnalysis");
  const { below = "left out" } = options;
  if (typeof water?.concentrations !== "object" || typeof water.below !== "object") {
    throw new IonbookError(
      "no-water",
      "waterAnalysis takes one published water, waterAnalysis((await openPublishedWaters(folder)).waters[0])",
    );
  }
  if (below !== "left out" && !Object.hasOwn(SHARES, below)) {
    throw new IonbookError(
      "bad-option",
      `below is "left out", ${Object.keys(SHARES)
        .map((name) => `"${name}"`)
        .join(", ")}, not ${JSON.stringify(below)}`,
    );
  }
  const bounds =
    below === "left out"
      ? {}
      : Object.fromEntries(Object.entries(water.below).map(([name, limit]) => [name, SHARES[below] * limit]));
  const { pH, alkalinity } = water;
  return {
    concentrations: { ...water.concentrations, ...bounds, ...carbonOf(water) },
    options: { ...(pH !== undefined && { pH }), ...(alkalinity !== undefined && { alkalinity }) },
  };
}

function carbonOf(water: PublishedWater): Readonly<Record<string, number>> {
  const { inorganicCarbon, pH, alkalinity, concentrations } = water;
  const titrated = alkalinity !== undefined || "hydrogencarbonate" in concentrations;
  if (inorganicCarbon === undefined || pH === undefined || titrated) return {};
  const shares = speciate("carbonate", pH);
  const of = (name: "hydrogencarbonate" | "carbonate") =>
    convert(inorganicCarbon * shares[name], "mmol/L", "mg/L", name);
  return { hydrogencarbonate: of("hydrogencarbonate"), carbonate: of("carbonate") };
}
