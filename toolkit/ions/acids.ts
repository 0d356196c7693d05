import { INORGANIC_ACIDS } from "./inorganic-acids.js";
import type { AcidEntry } from "./ion-entry.js";
import { ORGANIC_ACIDS } from "./organic-acids.js";

/** All acids and bases of the table. */
export const ACIDS: readonly AcidEntry[] = [...INORGANIC_ACIDS, ...ORGANIC_ACIDS];

/** The acid entry that has a form of this name; undefined for an ion that neither takes up nor gives off a proton. */
export function acidWithForm(name: string): AcidEntry | undefined {
  return ACIDS.find(({ forms }) => forms.some(([form]) => form === name));
}
