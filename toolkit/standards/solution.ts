import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import type { MeasuredValue } from "../uncertainty/measured.js";
import { type AcidMatrix, requireMatrix } from "./acid-matrix.js";
import type { LaboratoryBalance, StatedQuantity } from "./balance.js";
import type { Glassware } from "./glassware.js";
import { requireWeighing } from "./weighing.js";

/** What is taken of one solution into another's flask. */
export interface Aliquot {
  /** Name of a stock, or of a solution further up. */
  readonly from: string;
  readonly pipette: Glassware;
  /** mL of one delivery. @default the pipette's whole volume */
  readonly volume?: number;
  /** Deliveries. @default 1 */
  readonly times?: number;
}

/** What is weighed of one solution into another's vessel. */
export interface WeighedAliquot {
  /** Name of a stock, or of a solution further up; its density must be stated. */
  readonly from: string;
  /** As the balance shows it in air, less the empty vessel, g. */
  readonly mass: number;
  /** @default the balance of the solution, where that is weighed too */
  readonly balance?: LaboratoryBalance;
}

/** What every solution of the tree has. */
interface AnySolution {
  readonly name: string;
  readonly aliquots: readonly (Aliquot | WeighedAliquot)[];
  /** Solutions of one day share the room's temperature and air. @default "day of preparation" */
  readonly day?: string;
  /** Acid the flask is made up with. */
  readonly matrix?: AcidMatrix;
  /** What the analyst counts on, mg/L by ion: compared with what the tree gives. */
  readonly declared?: Readonly<Record<string, number>>;
}

/** One flask of the dilution tree. */
export interface Solution extends AnySolution {
  readonly flask: Glassware;
  /** g/mL at 20 °C; needed where a later solution weighs this one. */
  readonly density?: StatedQuantity;
}

/** One bottle of the dilution tree, filled on a balance. */
export interface WeighedSolution extends AnySolution {
  readonly balance: LaboratoryBalance;
  /** Of all that is in it, as the balance shows it in air, less the empty bottle, g. */
  readonly mass: number;
  /** g/mL at 20 °C. */
  readonly density: StatedQuantity;
}

const KNOWN = { name: true, aliquots: true, day: true, matrix: true, declared: true, density: true } as const;
const KNOWN_ALIQUOT = { from: true, pipette: true, volume: true, times: true } as const;

/** What the checks need of a liquid that is there. */
interface KnownLiquid {
  /** g/mL, `undefined` where nobody has stated it. */
  readonly density: MeasuredValue | undefined;
}

/** Whether an aliquot or a solution is by mass. */
export function isWeighed(given: Solution | WeighedSolution): given is WeighedSolution;
export function isWeighed(given: Aliquot | WeighedAliquot): given is WeighedAliquot;
export function isWeighed(given: object): boolean {
  return "mass" in given;
}

/** mL that an aliquot from a pipette has. */
export function pipetted({ pipette, volume = pipette.volume, times = 1 }: Aliquot): number {
  return volume * times;
}

/** The balance an aliquot is weighed on. */
export function balanceOf(
  aliquot: WeighedAliquot,
  into: Solution | WeighedSolution,
): LaboratoryBalance | undefined {
  return aliquot.balance ?? (isWeighed(into) ? into.balance : undefined);
}

/**
 * @throws IonbookError "bad-solution", "bad-flask", "bad-balance", "bad-mass", "no-density", "unknown-parent",
 *   "bad-aliquot", "flask-too-small", "mass-too-small", "bad-matrix", "unknown-option"
 */
export function checkSolution(
  solution: Solution | WeighedSolution,
  known: ReadonlyMap<string, KnownLiquid>,
): void {
  const { name, aliquots } = solution ?? {};
  if (typeof name !== "string" || name === "" || !Array.isArray(aliquots) || aliquots.length === 0) {
    throw new IonbookError(
      "bad-solution",
      "A solution has a name, a flask and aliquots: { name, flask: volumetricFlask(100), aliquots: [{ from, pipette: pipette(10) }] }; by mass { name, balance: laboratoryBalance(220), mass, density, aliquots: [{ from, mass }] }",
    );
  }
  if (isWeighed(solution)) checkBottle(solution);
  else checkFlask(solution);
  requireMatrix(solution.matrix, name);
  for (const aliquot of solution.aliquots) checkAliquot(aliquot, solution, known);
  if (isWeighed(solution)) requireHeavier(solution, known);
  else requireLarger(solution, known);
}

function checkFlask(solution: Solution): void {
  const { name, flask } = solution;
  if (flask?.kind !== "flask") {
    throw new IonbookError(
      "bad-flask",
      `"${name}" is made up to the mark of a volumetric flask: volumetricFlask(100), or by mass: { balance, mass, density }`,
    );
  }
  requireKnownOptions(solution, { ...KNOWN, flask: true }, `"${name}"`);
}

function checkBottle(solution: WeighedSolution): void {
  const { name, balance, mass, density } = solution;
  if ("flask" in solution) {
    throw new IonbookError(
      "bad-solution",
      `"${name}" is either filled to a mark or weighed: give flask, or balance, mass and density`,
    );
  }
  requireKnownOptions(solution, { ...KNOWN, balance: true, mass: true }, `"${name}"`);
  requireWeighing(balance, mass, `"${name}"`);
  if (density === undefined) throw noDensity(name);
}

function noDensity(name: string): IonbookError {
  return new IonbookError(
    "no-density",
    `"${name}" is weighed but its contents are in mg/L: give its density in g/mL at 20 °C, { density: { value: 0.9982, uncertainty: { halfWidth: 0.0003, shape: "rectangular" } } }, which is that of water, good for below 100 mg/L`,
  );
}

function checkAliquot(
  aliquot: Aliquot | WeighedAliquot,
  into: Solution | WeighedSolution,
  known: ReadonlyMap<string, KnownLiquid>,
): void {
  const { from } = aliquot ?? {};
  const parent = known.get(from);
  if (parent === undefined) {
    throw new IonbookError(
      "unknown-parent",
      `"${into.name}" takes from "${from}", which is neither a stock nor a solution before it. There are ${[...known.keys()].join(", ")}`,
    );
  }
  if (!isWeighed(aliquot)) {
    checkPipetted(aliquot, into.name);
    return;
  }
  requireKnownOptions(aliquot, { from: true, mass: true, balance: true }, `The aliquot of "${from}"`);
  requireWeighing(
    balanceOf(aliquot, into) as LaboratoryBalance,
    aliquot.mass,
    `"${from}" into "${into.name}"`,
  );
  if (parent.density === undefined) throw noDensity(from);
}

function checkPipetted(aliquot: Aliquot, into: string): void {
  const { from, pipette, volume = pipette?.volume, times: n = 1 } = aliquot;
  requireKnownOptions(aliquot, KNOWN_ALIQUOT, `The aliquot of "${from}"`);
  if (pipette?.kind !== "pipette" && pipette?.kind !== "piston pipette") {
    throw new IonbookError(
      "bad-aliquot",
      `The aliquot of "${from}" for "${into}" needs a pipette: pipette(10), or its mass in g`,
    );
  }
  if (!(Number.isInteger(n) && n >= 1)) {
    throw new IonbookError("bad-aliquot", `"${into}" takes "${from}" ${n} times; give a whole number from 1`);
  }
  const within = volume >= pipette.smallest * (1 - 1e-9) && volume <= pipette.volume * (1 + 1e-9);
  if (within) return;
  const range =
    pipette.smallest === pipette.volume
      ? `${pipette.volume} mL`
      : `${pipette.smallest} to ${pipette.volume} mL`;
  throw new IonbookError(
    "bad-aliquot",
    `"${into}" takes ${volume} mL of "${from}" with the ${pipette.name}, which is trusted for ${range}`,
  );
}

function requireLarger(solution: Solution, known: ReadonlyMap<string, KnownLiquid>): void {
  const { name, flask, aliquots } = solution;
  let sum = 0;
  for (const each of aliquots) {
    sum += isWeighed(each) ? each.mass / (known.get(each.from)?.density?.value ?? 1) : pipetted(each);
  }
  if (sum <= flask.volume) return;
  throw new IonbookError(
    "flask-too-small",
    `The aliquots of "${name}" make ${Number(sum.toPrecision(6))} mL, its flask holds ${flask.volume} mL`,
  );
}

function requireHeavier(solution: WeighedSolution, known: ReadonlyMap<string, KnownLiquid>): void {
  const { name, mass, aliquots } = solution;
  let sum = 0;
  for (const each of aliquots) {
    // Nobody states the density of what is only pipetted; that of water will do for a check.
    sum += isWeighed(each) ? each.mass : pipetted(each) * (known.get(each.from)?.density?.value ?? 1);
  }
  if (sum <= mass * (1 + 1e-9)) return;
  throw new IonbookError(
    "mass-too-small",
    `The aliquots of "${name}" make ${Number(sum.toPrecision(6))} g, but all of it is to weigh ${mass} g`,
  );
}
