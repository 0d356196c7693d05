import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import type { CoverageInterval, MeasuredValue } from "../uncertainty/measured.js";
import { comparisonText } from "./comparison-words.js";
import type { EquivalenceTest } from "./equivalence.js";
import type { PermutationTest } from "./permutation.js";
import type {
  ComparedPlace,
  ComparisonFigures,
  SeriesComparison,
  SeriesDesign,
  SeriesVerdict,
} from "./series-comparison.js";

/** The comparison with its words and its picture. */
export function seriesComparison(figures: ComparisonFigures): SeriesComparison {
  return new ComparedSeries(figures);
}

class ComparedSeries implements SeriesComparison {
  readonly kind = "series-comparison";
  declare readonly design: SeriesDesign;
  declare readonly ion: string;
  declare readonly unit: string;
  declare readonly places: readonly ComparedPlace[];
  declare readonly change: string | undefined;
  declare readonly effect: MeasuredValue;
  declare readonly interval: CoverageInterval;
  declare readonly percent: MeasuredValue | undefined;
  declare readonly verdict: SeriesVerdict;
  declare readonly t: number;
  declare readonly dof: number;
  declare readonly p: number;
  declare readonly permutation: PermutationTest | undefined;
  declare readonly smallestDifference: number;
  declare readonly equivalence: EquivalenceTest | undefined;
  declare readonly counts: readonly number[];
  declare readonly level: number;
  declare readonly power: number;
  declare readonly notes: readonly string[];

  constructor(figures: ComparisonFigures) {
    Object.assign(this, figures);
  }

  toString(): string {
    return comparisonText(this);
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}
