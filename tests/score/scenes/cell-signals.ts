import type { CellSolute } from "../../../toolkit/simulation/cell-solute.js";
import { type CellBackground, ConductivityCell } from "../../../toolkit/simulation/conductivity-cell.js";

export interface CellPart {
  readonly solute: CellSolute;
  /** mol/L at every sample */
  readonly profile: Float64Array;
}

/** Share of its highest concentration below which a solute adds nothing worth counting. */
const PRESENT = 1e-6;

/** What the cell shows, and what of it each solute adds when all others are there; µS/cm. */
export function cellSignals(
  parts: readonly CellPart[],
  background: CellBackground,
  carbonic: Float64Array,
): {
  readonly all: Float64Array;
  readonly contributions: readonly Float64Array[];
  readonly carbonic: Float64Array;
} {
  const cell = new ConductivityCell(
    parts.map(({ solute }) => solute),
    background,
  );
  const point = new Float64Array(parts.length);
  const least = parts.map(({ profile }) => PRESENT * profile.reduce((most, c) => Math.max(most, c), 0));
  const all = new Float64Array(carbonic.length);
  const ofCarbonic = new Float64Array(carbonic.length);
  const contributions = parts.map(() => new Float64Array(carbonic.length));
  const nothing = new Float64Array(parts.length);
  const bare = cell.conductivity(nothing);
  for (let i = 0; i < carbonic.length; i++) {
    for (let s = 0; s < parts.length; s++) point[s] = parts[s].profile[i];
    all[i] = cell.conductivity(point, carbonic[i]);
    for (let s = 0; s < parts.length; s++) {
      if (!(point[s] > least[s])) continue;
      const concentration = point[s];
      point[s] = 0;
      contributions[s][i] = all[i] - cell.conductivity(point, carbonic[i]);
      point[s] = concentration;
    }
    ofCarbonic[i] = carbonic[i] === 0 ? 0 : cell.conductivity(nothing, carbonic[i]) - bare;
  }
  return { all, contributions, carbonic: ofCarbonic };
}
