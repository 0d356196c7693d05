import { measured } from "../uncertainty/measured.js";
import type { Glassware } from "./glassware.js";
import type { Aliquot } from "./solution.js";

/** A volume that can be measured off. */
export interface Delivery {
  readonly pipette: Glassware;
  /** mL of one delivery. */
  readonly volume: number;
  readonly times: number;
  /** Relative variance by calibration and repeatability, and what distance and repeated deliveries are held to cost. */
  readonly cost: number;
}

/** What the work is done with. */
export interface Shelf {
  readonly flasks: readonly Glassware[];
  readonly pipettes: readonly KnownPipette[];
  readonly levelFlask: Glassware;
  /** How far one volume may be off what is wanted, relative: contents are computed from the volume taken. */
  readonly closeness: number;
}

interface KnownPipette {
  readonly glass: Glassware;
  /** Standard uncertainty of its calibration, mL. */
  readonly u: number;
}

export function knownPipettes(pipettes: readonly Glassware[]): readonly KnownPipette[] {
  return pipettes.map((glass) => ({ glass, u: measured(glass.volume, "mL", glass.calibration).u }));
}

/** More deliveries into one flask than this invite miscounting (common practice, no source). */
const MOST_DELIVERIES = 3;
/** Two volumes that differ by less are the same, relative. */
const SAME = 1e-9;
/** Digits that a piston pipette is set to. */
const SETTING_DIGITS = 3;
/** A volume 1 % off counts as much as 0.02 % of uncertainty: enough to choose the closer of two equals. */
const PRICE_OF_DISTANCE = 0.02;
/** Every further delivery counts as much as 0.1 % of uncertainty. */
const PRICE_OF_DELIVERY = 0.001;

/** The delivery of about a volume with the least uncertainty; undefined where no pipette makes it. */
export function deliveryOf(volume: number, { pipettes, closeness }: Shelf): Delivery | undefined {
  let best: Delivery | undefined;
  for (const { glass, u } of pipettes) {
    for (let times = 1; times <= MOST_DELIVERIES; times++) {
      const each = settingOf(glass, volume / times);
      const distance = Math.abs((each * times) / volume - 1);
      if (each > glass.volume * (1 + SAME) || each < glass.smallest * (1 - SAME) || distance > closeness)
        continue;
      const variance = (times * u ** 2 + glass.repeatability ** 2) / (times * each ** 2);
      const effort = PRICE_OF_DELIVERY * (times - 1);
      const cost = variance + (PRICE_OF_DISTANCE * distance) ** 2 + effort ** 2;
      if (!best || cost < best.cost) best = { pipette: glass, volume: each, times, cost };
    }
  }
  return best;
}

/** The volume that a pipette delivers when about so much is wanted. */
function settingOf({ volume, smallest }: Glassware, wanted: number): number {
  return smallest === volume ? volume : Number(wanted.toPrecision(SETTING_DIGITS));
}

export function aliquotOf(from: string, { pipette, volume, times }: Delivery): Aliquot {
  return {
    from,
    pipette,
    ...(volume !== pipette.volume && { volume }),
    ...(times > 1 && { times }),
  };
}

/** Volumes worth trying: what one-mark pipettes deliver, and round settings of piston pipettes. */
function handyVolumes(pipettes: readonly KnownPipette[]): readonly number[] {
  const volumes = new Set<number>();
  for (const { glass } of pipettes) {
    const { volume, smallest } = glass;
    for (let times = 1; times <= MOST_DELIVERIES; times++) volumes.add(times * volume);
    if (smallest === volume) continue;
    for (const part of [0.1, 0.2, 0.25, 0.4, 0.5, 0.75]) volumes.add(part * volume);
  }
  return [...volumes].sort((a, b) => a - b);
}

/** A stock or a group of stocks that go together, as shares: mL of each stock in one mL of a level. */
export interface StockGroup {
  readonly stocks: readonly string[];
  /** mL of each stock in one mL of the group's unit. */
  readonly unit: readonly number[];
  /** Of each level, in units; 0 where a level has none of it. */
  readonly levels: readonly number[];
}

/** An intermediate solution and the levels made from it. */
export interface Intermediate {
  readonly flask: Glassware;
  /** In units of the group. */
  readonly strength: number;
  readonly parts: readonly Delivery[];
  /** By the number of the level. */
  readonly serves: ReadonlyMap<number, Delivery>;
  readonly worstCost: number;
}

/** One step dilutes to this at most (common practice, no source). */
const LARGEST_DILUTION = 200;

/** Levels that can be made straight from the stocks of the group, by number. */
export function directLevels(group: StockGroup, shelf: Shelf): ReadonlyMap<number, readonly Delivery[]> {
  const found = new Map<number, readonly Delivery[]>();
  group.levels.forEach((strength, level) => {
    const parts = strength > 0 && stockParts(group, strength, shelf.levelFlask, shelf);
    if (parts) found.set(level, parts);
  });
  return found;
}

/**
 * The intermediate that serves most of the levels still wanted, among those the one that costs least; undefined where
 * none serves any. Tries every flask with every strength that puts a handy volume into one of the levels: some thousand
 * trials.
 */
export function bestIntermediate(
  group: StockGroup,
  wanted: readonly number[],
  shelf: Shelf,
): Intermediate | undefined {
  let best: Intermediate | undefined;
  const handy = handyVolumes(shelf.pipettes);
  for (const flask of shelf.flasks) {
    for (const level of wanted) {
      for (const volume of handy) {
        const strength = (group.levels[level] * shelf.levelFlask.volume) / volume;
        const tried = intermediate(group, wanted, flask, strength, shelf);
        if (tried && isBetter(tried, best)) best = tried;
      }
    }
  }
  return best;
}

function isBetter(tried: Intermediate, best: Intermediate | undefined): boolean {
  if (!best || tried.serves.size !== best.serves.size) return tried.serves.size > (best?.serves.size ?? 0);
  return tried.worstCost < best.worstCost * (1 - 1e-9);
}

function intermediate(
  group: StockGroup,
  wanted: readonly number[],
  flask: Glassware,
  strength: number,
  shelf: Shelf,
): Intermediate | undefined {
  const { levelFlask } = shelf;
  const parts = stockParts(group, strength, flask, shelf);
  if (!parts) return undefined;
  const serves = new Map<number, Delivery>();
  let left = flask.volume;
  let worst = 0;
  for (const level of wanted) {
    const volume = (group.levels[level] / strength) * levelFlask.volume;
    if (volume > levelFlask.volume || levelFlask.volume / volume > LARGEST_DILUTION * (1 + SAME)) continue;
    const delivery = deliveryOf(volume, shelf);
    if (!delivery || volume > left) continue;
    left -= volume;
    worst = Math.max(worst, delivery.cost);
    serves.set(level, delivery);
  }
  if (serves.size === 0) return undefined;
  const costs = parts.map(({ cost }) => cost);
  // The worst of the stocks, and all of them: one hard volume more is a hard volume more.
  const made = Math.max(...costs) + costs.reduce((sum, cost) => sum + cost, 0) / costs.length;
  return { flask, strength, parts, serves, worstCost: worst + made };
}

/** The stocks' aliquots for a solution of the group's; undefined where one cannot be measured off. */
function stockParts(
  group: StockGroup,
  strength: number,
  flask: Glassware,
  shelf: Shelf,
): readonly Delivery[] | undefined {
  const parts: Delivery[] = [];
  let sum = 0;
  for (const unit of group.unit) {
    const volume = unit * strength * flask.volume;
    if (flask.volume / volume > LARGEST_DILUTION * (1 + SAME)) return undefined;
    const delivery = deliveryOf(volume, shelf);
    if (!delivery) return undefined;
    parts.push(delivery);
    sum += volume;
  }
  return sum <= flask.volume ? parts : undefined;
}
