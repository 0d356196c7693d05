import { ion as ionOf } from "../../ions/ion-table.js";
import { elutionOrderOf, ionsBetween } from "../../separation/elution-order.js";
import type { Channel } from "../folder-types.js";
import type { UnknownCandidate, UnknownPlace } from "../unknown-types.js";

/** A named ion at its aligned retention time, min. */
export interface NamedTime {
  readonly ion: string;
  readonly time: number;
}

/**
 * The named ions beside an unidentified peak, and the ions that usually elute between them. Ions the method calibrates are
 * left out: they have times of their own, and the peak is at none of them.
 */
export function unknownPlace(
  time: number,
  named: readonly NamedTime[],
  method: {
    readonly channel: Channel;
    readonly eluent: string | undefined;
    readonly ions: readonly string[];
  },
): UnknownPlace {
  const sorted = [...named].sort((a, b) => a.time - b.time);
  const after = sorted.filter((each) => each.time <= time).at(-1)?.ion;
  const before = sorted.find((each) => each.time > time)?.ion;
  const order = elutionOrderOf(method.channel, method.eluent);
  const none = (note: string): UnknownPlace => ({ after, before, candidates: [], note });
  if (order === undefined) {
    return none(`no usual order is known for the eluent "${method.eluent ?? "not stated"}"`);
  }
  const found = ionsBetween(order, after, before);
  if (found === undefined) {
    return none("its neighbours elute in another order than usual: the usual order says nothing here");
  }
  const free = found.filter((name) => !method.ions.includes(name));
  const candidates = free.map((name) => candidateOf(name, free));
  const where = `usual order with ${order.system} (${order.source})`;
  return {
    after,
    before,
    candidates,
    note:
      candidates.length === 0
        ? `no ion is known between its neighbours: ${where}`
        : `${where}; ${order.caution}`,
  };
}

function candidateOf(name: string, all: readonly string[]): UnknownCandidate {
  const { charge, acidConstants = [] } = ionOf(name);
  const others = all.some((each) => Math.abs(ionOf(each).charge) !== Math.abs(charge));
  const weak = charge < 0 && acidConstants.some((pKa) => pKa > 3);
  const ways = [
    `a spike of ${name}`,
    ...(others ? [`its charge, ${Math.abs(charge)}, by a second eluent strength`] : []),
    ...(weak ? ["the time at a stronger eluent, where weak acids move otherwise"] : []),
  ];
  return { ion: name, charge, confirmBy: ways.join("; ") };
}
