import { ion } from "../../../toolkit/ions/ion-table.js";
import { createRandom, type Random } from "../../../toolkit/numeric/random.js";
import type { CellSolute } from "../../../toolkit/simulation/cell-solute.js";
import { measured } from "../../../toolkit/uncertainty/measured.js";
import { unknownAnionEquivalents } from "../../../toolkit/water/unknowns/unknown-equivalents.js";
import type { Row } from "../scenes/rows.js";
import { amountAtArea, areaAtCell } from "./cell-areas.js";
import { quantile, shareOf, shortShareOf } from "./shares.js";
import { type RowSize, SEEDS } from "./size.js";

const REFERENCES = ["chloride", "nitrate", "sulfate"] as const;
/**
 * Limiting conductivities per equivalent of 23 anions of handbook tables that are no reference: iodide, thiocyanate,
 * perchlorate, chlorate, bromate, chlorite, chromate, molybdate, selenate, thiosulfate, methanesulfonate, formate,
 * dichloroacetate, trichloroacetate, tartrate, fumarate, malonate, oxalate, iodate, azide, cyanate, sulfamate,
 * pyrophosphate (the laboratory's handbook, conductivity §5, taken there as fully dissociated).
 */
const STRANGERS = [
  76.8, 66, 67.3, 64.6, 55.7, 52, 85, 74.5, 75.7, 85, 48.8, 54.6, 38.3, 36.6, 59.6, 61.8, 63.5, 74.1, 40.5,
  69.5, 64.6, 48.6, 96,
] as const;
const DRAWS: Readonly<Record<RowSize, number>> = { small: 12, full: 300 };
/** µL: only turns amounts into concentrations. */
const LOOP = 25;
const ERROR = 0.01;
/** Carbonic acid of a hydroxide system, mol/L. */
const MOST_CARBONIC = 5e-6;

/**
 * Strong anions that are not calibrated, 0.1 to 10 neq over none to 5 µmol/L of carbonic acid, counted from their area
 * against chloride, nitrate and sulfate read at the same area; areas and readings each with an error of 1 %.
 */
export function unknownEquivalentsRows(size: RowSize): readonly Row[] {
  const draws = SEEDS.flatMap((seed) => {
    const random = createRandom(seed);
    return Array.from({ length: DRAWS[size] }, () => count(MOST_CARBONIC * random.uniform(), random));
  });
  const inside = shareOf(draws, ({ z }) => Math.abs(z) <= 2);
  const errors = draws.map(({ error }) => 100 * Math.abs(error));
  return [
    {
      name: "unknown equivalents: within ± 2u",
      n: draws.length,
      value: `${shortShareOf(inside)} (median error ${quantile(errors, 0.5).toFixed(1)} %, worst ${Math.max(...errors).toFixed(0)} %)`,
      accept: "0.90 – 0.98",
      pass: isAccepted(inside.hits, inside.n, size),
    },
  ];
}

/** On few draws the share is judged with two of its standard errors. */
function isAccepted(hits: number, n: number, size: RowSize): boolean {
  const slack = size === "small" ? 2 * Math.sqrt((0.94 * 0.06) / n) : 0;
  return hits / n >= 0.9 - slack && hits / n <= 0.98 + slack;
}

function count(carbonicAcid: number, random: Random) {
  const lambda = STRANGERS[Math.floor(random.uniform() * STRANGERS.length)];
  const neq = 10 ** (2 * random.uniform() - 1);
  const area = areaAtCell(strongAnion(lambda), neq, carbonicAcid) * (1 + ERROR * random.normal());
  const references = REFERENCES.map((reference) => {
    const nmol = amountAtArea(reference, area, carbonicAcid) * (1 + ERROR * random.normal());
    return {
      ion: reference,
      concentration: (nmol / LOOP) * ion(reference).molarMass,
      slopeRatio: slopeRatio(reference, nmol, carbonicAcid),
    };
  });
  // The scatter of the three references tells the error of the readings; the area brings its own.
  const { microequivalents } = unknownAnionEquivalents({
    area: measured(area, "µS/cm·min", { u: ERROR * area }),
    references,
  });
  const truth = (neq / LOOP) * 1000;
  return {
    error: microequivalents.value / truth - 1,
    z: (microequivalents.value - truth) / microequivalents.u,
  };
}

function strongAnion(lambda: number): CellSolute {
  return {
    name: `anion of ${lambda} S·cm²/eq`,
    charges: Float64Array.of(-1),
    lambdas: Float64Array.of(lambda),
    constants: new Float64Array(0),
  };
}

/** Slope of the curve there over its slope at 100 nmol. */
function slopeRatio(reference: string, nmol: number, carbonicAcid: number): number {
  const slope = (at: number) =>
    (areaAtCell(reference, 1.05 * at, carbonicAcid) - areaAtCell(reference, 0.95 * at, carbonicAcid)) /
    (0.1 * at);
  return slope(nmol) / slope(100);
}
