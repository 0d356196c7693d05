import type { PiperDiagram } from "../../water/diagrams/piper-diagram.js";
import { type Table, table } from "./table.js";

/** How to read the drawing, then what the diagram itself says of what is drawn and what is not. */
export function piperSentences({ points, level, ellipses, notes }: PiperDiagram): readonly string[] {
  const drawn = points.some(({ cations, anions }) =>
    [cations, anions].some((place) => place?.ellipse.length),
  );
  return [
    "Parts of the charge of the cations (left) and of the anions (right), %; both meet in the diamond.",
    ...(ellipses && drawn ? [`Ellipses: joint coverage ${(100 * level).toFixed(0)} %.`] : []),
    ...notes,
  ];
}

/** The parts of the charge of each water, %, and its type. */
export function piperTable({ points, groups }: PiperDiagram): Table {
  return table(
    points.map(({ name, group, cationPercent: c, anionPercent: a, type }) => ({
      water: name,
      ...(groups.length > 0 ? { group } : {}),
      calcium: c?.calcium,
      magnesium: c?.magnesium,
      "sodium + potassium": c?.sodiumPotassium,
      hydrogencarbonate: a?.hydrogencarbonate,
      sulfate: a?.sulfate,
      "chloride group": a?.chloride,
      type: type ?? "incomplete",
    })),
  );
}
