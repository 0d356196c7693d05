import type { CellSolute } from "./cell-solute.js";
import { type CellBackground, ConductivityCell } from "./conductivity-cell.js";

/** What one solute adds to a record: sum over the points and highest value in µS/cm, and the index of that. */
export interface Contribution {
  readonly total: number;
  readonly height: number;
  readonly top: number;
}

/** Share of its highest concentration above which a solute counts as present. */
const PRESENT = 1e-6;

/** All that flows through the cell during a run, in mol/L as functions of time, and the conductivity it makes. */
export class Mixture {
  private readonly cell: ConductivityCell;
  private readonly profiles: readonly Float64Array[];
  private readonly carbonic: Float64Array;
  private readonly point: Float64Array;

  constructor(
    parts: readonly { readonly solute: CellSolute; readonly profile: Float64Array }[],
    background: CellBackground,
    carbonic: Float64Array,
  ) {
    this.cell = new ConductivityCell(
      parts.map(({ solute }) => solute),
      background,
    );
    this.profiles = parts.map(({ profile }) => profile);
    this.carbonic = carbonic;
    this.point = new Float64Array(parts.length);
  }

  /** µS/cm at each point of the record. */
  conductivity(): Float64Array {
    return this.carbonic.map((_, i) => this.at(i, -1));
  }

  /** µS/cm with no ion but those of the background, carbonic acid included. */
  conductivityOfBackground(): Float64Array {
    this.point.fill(0);
    return this.carbonic.map((carbonic) => this.cell.conductivity(this.point, carbonic));
  }

  /**
   * What one solute adds to the conductivity when all others are there: sum over the points, highest value and its
   * index. Left out is what lies below a millionth of its highest concentration (1e-5 of the sum at most).
   *
   * @param all conductivity with everything, µS/cm
   */
  contribution(part: number, all: Float64Array): Contribution {
    const profile = this.profiles[part];
    const least = PRESENT * highest(profile);
    let total = 0;
    let height = 0;
    let top = 0;
    for (let i = 0; i < profile.length; i++) {
      if (!(profile[i] > least)) continue;
      const more = all[i] - this.at(i, part);
      total += more;
      if (more > height) {
        height = more;
        top = i;
      }
    }
    return { total, height, top };
  }

  private at(i: number, absent: number): number {
    for (let s = 0; s < this.profiles.length; s++) this.point[s] = s === absent ? 0 : this.profiles[s][i];
    return this.cell.conductivity(this.point, this.carbonic[i]);
  }
}

function highest(values: Float64Array): number {
  let most = 0;
  for (let i = 0; i < values.length; i++) if (values[i] > most) most = values[i];
  return most;
}
