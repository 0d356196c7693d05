import type { ChannelMethod } from "./method.js";
import { type Stream, stream } from "./random.js";

/** One ion in one standard: what the label says, what is in it, and what the lab book admits not to know. */
export interface StandardIon {
  readonly ion: string;
  /** mg/L by the label. */
  readonly stated: number;
  /** mg/L really in the flask. */
  readonly real: number;
  /** mg/L, standard uncertainty and the stock's part of it. */
  readonly u: number;
  readonly uStock: number;
  readonly stock: string;
}

export interface Standard {
  readonly name: string;
  readonly ions: readonly StandardIon[];
}

/** A certified stock of one ion: real content over certified content. */
interface Stock {
  readonly label: string;
  readonly relativeU: number;
  readonly factor: number;
}

const STOCK_U = 0.0025;

function stockOf(seed: number, ion: string, maker: string): Stock {
  const random = stream(seed, "stock", maker, ion);
  const relativeU = STOCK_U * random.between(0.7, 1.3);
  return {
    label: `${ion} 1000, ${maker} ${random.whole(2000, 9999)}`,
    relativeU,
    factor: 1 + relativeU * random.normal(),
  };
}

/** A flask with several ions: each stock's error, the flask's own error shared by its ions, and each pipetting's. */
function flask(
  seed: number,
  name: string,
  maker: string,
  contents: readonly (readonly [string, number])[],
  relativeOwn: number,
): Standard {
  const random: Stream = stream(seed, "flask", name);
  const shared = random.normal();
  const ions = contents.map(([ion, stated]): StandardIon => {
    const stock = stockOf(seed, ion, maker);
    const own = relativeOwn * (0.8 * shared + 0.6 * random.normal());
    return {
      ion,
      stated,
      real: stated * stock.factor * (1 + own),
      u: stated * Math.hypot(stock.relativeU, relativeOwn),
      uStock: stated * stock.relativeU,
      stock: stock.label,
    };
  });
  return { name, ions };
}

/** Own relative uncertainty of a level: more steps, more error. */
function ownUncertainty(fromTop: number): number {
  return Math.min(0.0055, 0.0025 + 0.0006 * fromTop);
}

/** All standards of a channel: levels named L1 …, two checks, a second source, a fortified blank. */
export function standardsOf(seed: number, method: ChannelMethod): ReadonlyMap<string, Standard> {
  const { channel, targets } = method;
  const longest = Math.max(...targets.map(({ levels }) => levels.length));
  const list: Standard[] = [];
  for (let level = 1; level <= longest; level++) {
    const contents = targets.flatMap(({ name, levels }): [string, number][] => {
      const at = level - 1 - (longest - levels.length);
      return at < 0 ? [] : [[name, levels[at]]];
    });
    list.push(flask(seed, `${channel} L${level}`, "house", contents, ownUncertainty(longest - level)));
  }
  const part = (share: number): [string, number][] =>
    targets.map(({ name, levels }) => [name, Number((levels[levels.length - 1] * share).toPrecision(3))]);
  list.push(flask(seed, `${channel} check mid`, "house", part(0.2), 0.0035));
  list.push(flask(seed, `${channel} check high`, "house", part(0.7), 0.0025));
  list.push(flask(seed, `${channel} second source`, "other house", part(0.3), 0.0035));
  list.push(flask(seed, `${channel} fortified water`, "house", part(0.1), 0.004));
  return new Map(list.map((standard) => [standard.name, standard]));
}

/** A spike into a sample: what is added to the liquid, per ion. */
export function spikeOf(seed: number, method: ChannelMethod, name: string): Standard {
  const contents = method.targets.map(({ name: ion, levels }): [string, number] => [
    ion,
    Number((levels[levels.length - 1] * 0.12).toPrecision(3)),
  ]);
  return flask(seed, name, "house", contents, 0.004);
}
