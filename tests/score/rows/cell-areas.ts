import { type CellSolute, cellSolute } from "../../../toolkit/simulation/cell-solute.js";
import { ConductivityCell } from "../../../toolkit/simulation/conductivity-cell.js";

/** One Gaussian peak through the cell of a suppressed system, 1 mL/min. */
const SIGMA_SECONDS = 6;
const STEP_SECONDS = 0.5;
const FLOW_LITRES_PER_SECOND = 1e-3 / 60;

/** Concentration in the middle of a peak of an amount, µmol/L. */
export function cellConcentration(nanomoles: number): number {
  return (nanomoles * 1e-3) / (FLOW_LITRES_PER_SECOND * SIGMA_SECONDS * Math.sqrt(2 * Math.PI));
}

/** Area of an amount of an ion over a background with carbonic acid, µS/cm·min, point by point from ionic equilibrium. */
export function areaAtCell(ion: string | CellSolute, nanomoles: number, carbonicAcid: number): number {
  const cell = new ConductivityCell(
    [typeof ion === "string" ? cellSolute(ion) : ion],
    { carbonicAcid, leak: 0 },
    { ionicInteraction: false },
  );
  const top = 1e-6 * cellConcentration(nanomoles);
  const without = cell.conductivity([0]);
  let sum = 0;
  for (let t = -5 * SIGMA_SECONDS; t <= 5 * SIGMA_SECONDS; t += STEP_SECONDS) {
    const concentration = top * Math.exp(-0.5 * (t / SIGMA_SECONDS) ** 2);
    sum += cell.conductivity([concentration]) - without;
  }
  return (sum * STEP_SECONDS) / 60;
}

/** The amount of an ion that gives an area, nmol: the true calibration curve read backwards. */
export function amountAtArea(ion: string, area: number, carbonicAcid: number): number {
  let [low, high] = [Math.log(1e-4), Math.log(1e4)];
  for (let turn = 0; turn < 40; turn++) {
    const middle = 0.5 * (low + high);
    if (areaAtCell(ion, Math.exp(middle), carbonicAcid) < area) low = middle;
    else high = middle;
  }
  return Math.exp(0.5 * (low + high));
}
