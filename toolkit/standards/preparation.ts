import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { ion } from "../ions/ion-table.js";
import { covariance, type MeasuredValue } from "../uncertainty/measured.js";
import { analyteOf } from "./analyte.js";
import { preparationText } from "./card-text.js";
import type { Caution } from "./cautions.js";
import type { PreparedSolution } from "./dilution.js";
import type { StockContent } from "./stock.js";
import type {
  PlannedStandard,
  PreparationParts,
  StandardsCovariance,
  StandardsPreparation,
} from "./types.js";

export class Preparation implements StandardsPreparation {
  readonly kind = "standards-preparation";
  readonly title: string;
  readonly stocks: readonly StockContent[];
  readonly solutions: readonly PreparedSolution[];
  readonly levels: readonly PreparedSolution[];
  readonly ions: readonly string[];
  readonly cautions: readonly Caution[];
  readonly temperatureHalfWidth: number;

  constructor(parts: PreparationParts) {
    this.title = parts.title;
    this.stocks = parts.stocks;
    this.solutions = parts.solutions;
    this.levels = parts.levels;
    this.ions = parts.ions;
    this.cautions = parts.cautions;
    this.temperatureHalfWidth = parts.temperatureHalfWidth;
  }

  concentration(solution: string, ionName: string): MeasuredValue {
    const liquids = [...this.stocks, ...this.solutions];
    const found = liquids.find(({ name }) => name === solution);
    if (!found) {
      throw new IonbookError(
        "unknown-solution",
        `There is no solution "${solution}"; there are ${liquids.map(({ name }) => name).join(", ")}`,
      );
    }
    const of = analyteOf(ion(ionName).name);
    const content = found.ions.get(of);
    if (content) return content;
    throw new IonbookError(
      "ion-not-there",
      `"${solution}" holds no ${of}, only ${[...found.ions.keys()].join(", ")}`,
    );
  }

  standards(ionName: string): readonly PlannedStandard[] {
    return this.levels.map(({ name }) => {
      const { value, u, sources, contributions } = this.concentration(name, ionName);
      const named = sources.map(({ key, dof }, i) => ({ source: key, contribution: contributions[i], dof }));
      return { concentration: value, u, sources: named, label: name };
    });
  }

  covariance(ions: readonly string[] = this.ions): StandardsCovariance {
    const rows = ions.flatMap((of) =>
      this.levels.map(({ name }) => ({ solution: name, ion: analyteOf(ion(of).name) })),
    );
    const values = rows.map((row) => this.concentration(row.solution, row.ion));
    return { rows, matrix: values.map((a) => values.map((b) => covariance(a, b))) };
  }

  toString(): string {
    return preparationText(this);
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}
