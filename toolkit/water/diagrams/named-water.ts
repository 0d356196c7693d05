import { isMeasuredValue, type MeasuredValue } from "../../uncertainty/measured.js";
import type { PublishedWater } from "../published/published-row.js";

/** A concentration that a method could only bound, mg/L: not detected, or below quantification. */
export interface Bound {
  readonly below: number;
}

export type BoundableValue = number | MeasuredValue | Bound;

/** One water of a diagram. An ion that is not named here was not measured: it is never taken as zero. */
export interface NamedWater {
  readonly name: string;
  /** mg/L by ion; a `MeasuredValue` in another unit of concentration is converted. */
  readonly concentrations: Readonly<Record<string, BoundableValue>>;
  /** mg/L as CaCO3; used only where no hydrogencarbonate is given. */
  readonly alkalinity?: BoundableValue | undefined;
  readonly pH?: number | MeasuredValue | undefined;
  /** °C; default 25. */
  readonly temperature?: number | undefined;
  /** As for `chargeBalance`: hydrogencarbonate by equilibrium with air of this partial pressure, µatm. */
  readonly carbonDioxide?: number | "air" | undefined;
  /** Waters of one group share colour and symbol, unless the option `groupBy` names another field. */
  readonly group?: string | undefined;
}

/** A published table, as far as its waters go. */
export interface PublishedTable {
  readonly waters: readonly PublishedWater[];
}

/** Anything that can tell its waters, as the results of a batch do. */
export interface WaterSource {
  waters(): readonly NamedWater[];
}

/** What a diagram of waters is drawn from: one water, several, the results of a batch, or a published table. */
export type WaterInputs<W extends NamedWater = NamedWater> =
  | W
  | readonly W[]
  | WaterSource
  | PublishedTable
  | readonly PublishedWater[];

/** Name of a field of the waters, or a function that tells the group of one. */
export type GroupBy<W extends NamedWater = NamedWater> = string | ((water: W) => string | undefined);

/** A water with the group it is drawn in; "" where nothing is grouped. */
export interface GroupedWater {
  readonly water: NamedWater;
  readonly group: string;
}

export function isBound(value: unknown): value is Bound {
  return typeof value === "object" && value !== null && "below" in value && !isMeasuredValue(value);
}
