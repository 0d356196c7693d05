import type { NamedWater } from "../water/diagrams/named-water.js";

/** A sample as a diagram of waters takes it, with what its row in samples.csv says to group by. */
export interface SampleWater extends NamedWater {
  readonly site?: string;
  readonly period?: string;
  readonly matrix?: string;
  /** ISO day. */
  readonly collected?: string;
}
