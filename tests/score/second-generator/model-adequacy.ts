import type { ChannelMethod, TargetIon } from "./method.js";
import { stream } from "./random.js";
import { recordClean } from "./record.js";
import { soluteNamed } from "./solutes.js";

/** Worst relative error in concentration that the prescribed model makes on the noise-free response. */
export interface ModelAdequacy {
  readonly ion: string;
  readonly model: string;
  readonly worstPercent: number;
  readonly byLevel: readonly {
    readonly concentration: number;
    readonly area: number;
    readonly errorPercent: number;
  }[];
}

/** Areas of the mixed standards at every level, without noise, error of volume or drift; µS/cm·min. */
function cleanAreas(method: ChannelMethod): Map<string, [concentration: number, area: number][]> {
  const found = new Map<string, [number, number][]>(method.targets.map(({ name }) => [name, []]));
  const longest = Math.max(...method.targets.map(({ levels }) => levels.length));
  for (let level = 0; level < longest; level++) {
    const micromolar = new Map<string, number>();
    for (const { name, levels } of method.targets) {
      if (level < levels.length) micromolar.set(name, (levels[level] / soluteNamed(name).molarMass) * 1000);
    }
    const injected = {
      injection: `level ${level}`,
      micromolar,
      volumeFactor: 1,
      retention: { strength: 0, flow: 0 },
      carbonate: 0,
      voidDepth: 1,
    };
    const { peaks } = recordClean(method, injected, stream(0, "adequacy"));
    for (const peak of peaks) {
      const ion = method.targets.find(({ name }) => name === peak.name);
      if (ion !== undefined) found.get(peak.name)?.push([ion.levels[level], peak.area]);
    }
  }
  return found;
}

/** Weighted least squares by normal equations on scaled columns: small, well-conditioned, own arithmetic. */
function solveWeighted(
  rows: readonly (readonly number[])[],
  y: readonly number[],
  weight: readonly number[],
): number[] {
  const n = rows[0].length;
  const scale = Array.from({ length: n }, (_, j) =>
    Math.sqrt(rows.reduce((s, row, i) => s + weight[i] * row[j] ** 2, 0)),
  );
  const matrix = Array.from({ length: n }, (_, j) => [
    ...Array.from({ length: n }, (_, k) =>
      rows.reduce((s, row, i) => s + (weight[i] * row[j] * row[k]) / (scale[j] * scale[k]), 0),
    ),
    rows.reduce((s, row, i) => s + (weight[i] * row[j] * y[i]) / scale[j], 0),
  ]);
  for (let pivot = 0; pivot < n; pivot++) {
    for (let r = pivot + 1; r < n; r++) {
      const factor = matrix[r][pivot] / matrix[pivot][pivot];
      for (let c = pivot; c <= n; c++) matrix[r][c] -= factor * matrix[pivot][c];
    }
  }
  const solution = new Array<number>(n).fill(0);
  for (let r = n - 1; r >= 0; r--) {
    let sum = matrix[r][n];
    for (let c = r + 1; c < n; c++) sum -= matrix[r][c] * solution[c];
    solution[r] = sum / matrix[r][r];
  }
  return solution.map((value, j) => value / scale[j]);
}

/** The prescribed model through the points (weights 1/x²), as the concentration it gives an area. */
export function prescribedCurve(
  model: TargetIon["model"],
  points: readonly (readonly [concentration: number, area: number])[],
): (area: number) => number {
  const x = points.map(([concentration]) => concentration);
  const y = points.map(([, area]) => area);
  const weight = x.map((value) => 1 / value ** 2);
  if (model === "weak") {
    const rows = y.map((area) => [area, area * area]);
    const [a1, a2] = solveWeighted(rows, x, weight);
    return (area) => a1 * area + a2 * area * area;
  }
  const rows = x.map((value) => (model === "linear" ? [1, value] : [1, value, value * value]));
  const [b0, b1, b2 = 0] = solveWeighted(rows, y, weight);
  return (area) => (2 * (area - b0)) / (b1 + Math.sqrt(b1 * b1 + 4 * b2 * (area - b0)));
}

function adequacyOf(ion: TargetIon, points: readonly (readonly [number, number])[]): ModelAdequacy {
  const curve = prescribedCurve(ion.model, points);
  const byLevel = points.map(([concentration, area]) => ({
    concentration,
    area,
    errorPercent: 100 * (curve(area) / concentration - 1),
  }));
  const worstPercent = Math.max(...byLevel.map((p) => Math.abs(p.errorPercent)));
  return { ion: ion.name, model: ion.model, byLevel, worstPercent };
}

/** How well the model written into batch.json describes the chemistry, ion by ion. */
export function modelAdequacy(method: ChannelMethod): readonly ModelAdequacy[] {
  const areas = cleanAreas(method);
  return method.targets.map((ion) => adequacyOf(ion, areas.get(ion.name) ?? []));
}
