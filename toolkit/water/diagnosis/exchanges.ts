import { smallestAssignment } from "../../numeric/assignment.js";
import { BASE_RATES } from "./base-rates.js";
import { HOPELESS, type WeighedHypothesis } from "./hypothesis.js";
import type { PlainIon, Vessel } from "./plain-water.js";
import { OPEN_LEAST, OPEN_SHARE, type Outcome, trialWith } from "./trial.js";
import { logEvidence, type WeighedWater } from "./weigh-water.js";

/** What may stand in another's place: the vials of one channel, the bottle with pH, alkalinity and conductivity. */
export type Exchanged = "cation vials" | "anion vials" | "bottle readings";

/** For one kind of exchange: whose reading stands at each place in the pairing with the smallest Σχ². */
export interface Pairing {
  readonly exchanged: Exchanged;
  /** Place of the water whose vial each place would hold. */
  readonly order: readonly number[];
  /** Σχ² as reported and so paired. */
  readonly reported: number;
  readonly paired: number;
}

const KINDS: readonly Exchanged[] = ["cation vials", "anion vials", "bottle readings"];
const VESSELS: Readonly<Record<Exchanged, Vessel>> = {
  "cation vials": "cation",
  "anion vials": "anion",
  "bottle readings": "bottle",
};
/** Where the balance is beyond hope its conductivity is not computed. */
const HOPELESS_LOG = -1e4;

/** Every water with the readings of every other: outcomes by place and giver. */
interface Table {
  readonly exchanged: Exchanged;
  readonly outcome: (place: number, giver: number) => Outcome;
  readonly log: (place: number, giver: number) => number;
  readonly measured: (place: number, giver: number) => number | undefined;
}

/**
 * Exchanged vials among the waters of a batch: every pair on every channel, and longer rings where the cheapest pairing of
 * all (Hungarian method) has one. The likelihood of a pair is that of both waters, over what each would explain alone.
 */
export function exchangeHypotheses(waters: readonly WeighedWater[]): {
  readonly hypotheses: readonly (readonly WeighedHypothesis[])[];
  readonly pairings: readonly Pairing[];
} {
  const tables = KINDS.map((exchanged) => tableOf(waters, exchanged));
  const alone = waters.map(logEvidence);
  const orders = tables.map((table) => cheapestOrder(waters, table, alone));
  const hypotheses = waters.map((_, i) =>
    tables.flatMap((table, k) => [
      ...pairsWith(waters, table, alone, i),
      ...ringThrough(waters, table, alone, orders[k], i),
    ]),
  );
  return { hypotheses, pairings: tables.map((table) => pairingOf(waters, table)) };
}

function tableOf(waters: readonly WeighedWater[], exchanged: Exchanged): Table {
  const n = waters.length;
  const outcomes = waters.flatMap((place, i) =>
    waters.map((giver, j) => (i === j ? place.clean : mixed(place, giver, exchanged))),
  );
  const outcome = (i: number, j: number) => outcomes[i * n + j];
  return {
    exchanged,
    outcome,
    log: (i, j) => outcome(i, j).logLikelihood,
    measured: (i, j) => waters[exchanged === "bottle readings" ? j : i].trial.evidence.conductivity?.value,
  };
}

/** The vial, or the bottle's readings, of one water in the place of another's. */
function mixed(place: WeighedWater, giver: WeighedWater, exchanged: Exchanged): Outcome {
  const vessel = VESSELS[exchanged];
  const imbalance = mixedImbalance(place, giver, vessel);
  // Most pairs are beyond hope: their conductivity need not be known.
  if (imbalance > HOPELESS) return { ...place.clean, chiSquared: imbalance, logLikelihood: HOPELESS_LOG };
  const bottle = vessel === "bottle" ? giver.trial : place.trial;
  const ions = [
    ...place.trial.ions.filter((each) => each.vessel !== vessel),
    ...giver.trial.ions.filter((each) => each.vessel === vessel),
  ];
  const trial = trialWith(bottle.water, ions, bottle.evidence, place.pairs);
  return trial.evaluate(trial.amounts);
}

/** (D/u)² without building the mixed water. */
function mixedImbalance(place: WeighedWater, giver: WeighedWater, vessel: Vessel): number {
  let [difference, variance, total] = [0, 0, 0];
  const add = (ions: readonly PlainIon[], own: boolean): void => {
    for (const { side, vessel: of, amount, relative } of ions) {
      if ((of === vessel) === own) continue;
      difference += side === "cation" ? amount : -amount;
      variance += (relative * amount) ** 2;
      total += amount;
    }
  };
  add(place.trial.ions, true);
  add(giver.trial.ions, false);
  if (total === 0) return Number.POSITIVE_INFINITY;
  const sharing = Math.max(1, place.trial.water.sharing, giver.trial.water.sharing);
  return difference ** 2 / (sharing * variance + (OPEN_SHARE * total) ** 2 / 4 + OPEN_LEAST ** 2);
}

function pairsWith(
  waters: readonly WeighedWater[],
  table: Table,
  alone: readonly number[],
  i: number,
): readonly WeighedHypothesis[] {
  return waters.flatMap((other, j) => {
    if (i === j || table.log(i, j) === HOPELESS_LOG || table.log(j, i) === HOPELESS_LOG) return [];
    const logMarginal = table.log(i, j) + table.log(j, i) - alone[j];
    const rate = BASE_RATES.exchangedVials / (KINDS.length * (waters.length - 1));
    const names = `${waters[i].sample} and ${other.sample}`;
    return [exchange(table, [i, j], `${table.exchanged} of ${names} exchanged`, rate, logMarginal)];
  });
}

/** The ring of three or more through a place in the cheapest pairing; none where there is none. */
function ringThrough(
  waters: readonly WeighedWater[],
  table: Table,
  alone: readonly number[],
  order: readonly number[],
  i: number,
): readonly WeighedHypothesis[] {
  const ring = [i];
  for (let at = order[i]; at !== i; at = order[at]) ring.push(at);
  if (ring.length < 3) return [];
  const others = ring.slice(1);
  const logMarginal =
    ring.reduce((sum, at) => sum + table.log(at, order[at]), 0) -
    others.reduce((sum, at) => sum + alone[at], 0);
  const rate = BASE_RATES.exchangedVials / (KINDS.length * (waters.length - 1) ** others.length);
  const names = ring.map((at) => waters[at].sample).join(", ");
  return [exchange(table, ring, `${table.exchanged} of ${names} in turn`, rate, logMarginal)];
}

function cheapestOrder(waters: readonly WeighedWater[], table: Table, alone: readonly number[]) {
  const penalty = -Math.log(BASE_RATES.exchangedVials / (KINDS.length * waters.length));
  return smallestAssignment(
    waters.map((_, i) => waters.map((_other, j) => (i === j ? -alone[i] : penalty - table.log(i, j)))),
  );
}

function exchange(
  table: Table,
  ring: readonly number[],
  cause: string,
  baseRate: number,
  logMarginal: number,
): WeighedHypothesis {
  const [place, giver] = ring;
  const side =
    table.exchanged === "cation vials"
      ? ("cation" as const)
      : table.exchanged === "anion vials"
        ? ("anion" as const)
        : undefined;
  const change = {
    ...{ what: table.exchanged, from: undefined, to: undefined, unit: "", factor: undefined },
  };
  const next =
    table.exchanged === "bottle readings"
      ? "measure pH, alkalinity and conductivity of both bottles again"
      : `inject the ${table.exchanged.replace("s", "")}s of these samples again, freshly filled`;
  return {
    ...{ cause, family: "exchanged vials", side, ion: undefined, baseRate, logMarginal },
    ...{ best: table.outcome(place, giver), measured: table.measured(place, giver), change, next },
  };
}

function pairingOf(waters: readonly WeighedWater[], table: Table): Pairing {
  const chi = (i: number, j: number) => table.outcome(i, j).chiSquared;
  const order = smallestAssignment(waters.map((_, i) => waters.map((_other, j) => chi(i, j))));
  return {
    exchanged: table.exchanged,
    order,
    reported: waters.reduce((sum, _, i) => sum + chi(i, i), 0),
    paired: waters.reduce((sum, _, i) => sum + chi(i, order[i]), 0),
  };
}
