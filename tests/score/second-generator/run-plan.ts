import type { Standard } from "./laboratory.js";
import { spikeOf, standardsOf } from "./laboratory.js";
import type { ChannelMethod } from "./method.js";
import { type Stream, stream } from "./random.js";
import type { Injected } from "./record.js";
import { extractFactor, type SampleTruth } from "./scenario.js";
import { soluteNamed } from "./solutes.js";

/** One row of the worksheet together with what really happened. */
export interface PlannedInjection {
  readonly id: string;
  readonly kind: string;
  readonly solution: string;
  readonly dilution: number;
  /** undefined: the cell stays blank (exact). */
  readonly uDilution: number | undefined;
  readonly parent: string | undefined;
  readonly injected: Injected;
}

export interface RunPlan {
  readonly standards: readonly Standard[];
  readonly injections: readonly PlannedInjection[];
}

/** What is to be injected, before the instrument adds its own errors. */
interface Order {
  readonly kind: string;
  readonly solution: string;
  readonly dilution: number;
  readonly uDilution: number | undefined;
  /** Order in this list that it belongs to. */
  readonly parent: Order | undefined;
  /** µmol/L in the vial. */
  readonly micromolar: ReadonlyMap<string, number>;
  /** Hydrogencarbonate in the vial, meq/L. */
  readonly bicarbonate: number;
}

const plain = { dilution: 1, uDilution: undefined, parent: undefined, bicarbonate: 0 } as const;

function fromStandard(kind: string, standard: Standard): Order {
  const micromolar = new Map(
    standard.ions.map(({ ion, real }) => [ion, (real / soluteNamed(ion).molarMass) * 1000]),
  );
  return { ...plain, kind, solution: standard.name, micromolar };
}

function blank(): Order {
  return { ...plain, kind: "blank", solution: "water", micromolar: new Map() };
}

/** Liquid of a sample as it stands before dilution, µmol/L, with the real weighing and volume of an extract. */
function liquidOf(seed: number, sample: SampleTruth): Map<string, number> {
  const { plan, extract, contents, strangers } = sample;
  let perContent = 1;
  if (extract) {
    const random = stream(seed, "weighing", plan.name);
    const mass = extract.mass + EXTRACT_U.mass * random.normal();
    const volume = extract.volume + EXTRACT_U.volume * random.normal();
    perContent = 1 / extractFactor(plan, mass, volume);
  }
  const liquid = new Map(strangers);
  for (const [ion, content] of contents)
    liquid.set(ion, ((content * perContent) / soluteNamed(ion).molarMass) * 1000);
  return liquid;
}

/** Standard uncertainties the lab book gives for weighing (g) and adding extractant (mL). */
export const EXTRACT_U = { mass: 0.002, volume: 0.08 } as const;

function fromSample(
  kind: string,
  sample: SampleTruth,
  liquid: ReadonlyMap<string, number>,
  dilution: number,
  random: Stream,
): Order {
  const relativeU = dilution === 1 ? 0 : dilution > 20 ? 0.003 : 0.002;
  const real = dilution * (1 + relativeU * random.normal());
  return {
    kind,
    solution: sample.plan.name,
    dilution,
    uDilution: dilution === 1 ? undefined : dilution * relativeU,
    parent: undefined,
    micromolar: new Map([...liquid].map(([name, value]) => [name, value / real])),
    bicarbonate: (sample.alkalinity ?? 50) / 50.04 / real,
  };
}

function calibrationOrders(standards: readonly Standard[], random: Stream): Order[] {
  const levels = standards.filter(({ name }) => / L\d$/.test(name));
  return levels.flatMap((standard, i) => {
    const repeats = i === 0 ? 3 : random.whole(1, 3);
    return Array.from({ length: Math.max(repeats, i === levels.length - 1 ? 2 : 1) }, () =>
      fromStandard("calibration", standard),
    );
  });
}

/** Samples in blocks of eight injections, each block closed by a check and every second one by a blank. */
function sampleOrders(
  seed: number,
  method: ChannelMethod,
  samples: readonly SampleTruth[],
  checks: readonly Standard[],
  spike: Standard,
): Order[] {
  const out: Order[] = [];
  let since = 0;
  let closed = 0;
  const add = (order: Order) => {
    out.push(order);
    if (++since < 8) return;
    since = 0;
    out.push(fromStandard("continuing check", checks[closed % 2]), blank());
    closed++;
  };
  for (const sample of samples) {
    const liquid = liquidOf(seed, sample);
    for (const dilution of sample.plan.dilutions) {
      const order = fromSample(
        "sample",
        sample,
        liquid,
        dilution,
        stream(seed, method.channel, "dilution", sample.plan.name, dilution),
      );
      add(order);
      if (DUPLICATED.has(`${sample.plan.name} ${dilution}`)) {
        const again = fromSample(
          "duplicate",
          sample,
          liquid,
          dilution,
          stream(seed, method.channel, "again", sample.plan.name),
        );
        add({ ...again, parent: order });
      }
      if (sample.plan.name === SPIKED) add(spiked(order, spike));
    }
  }
  return out;
}

const DUPLICATED = new Set(["cistern north 1", "drain, bench 3 40"]);
const SPIKED = "tile roof, later";

function spiked(parent: Order, spike: Standard): Order {
  const micromolar = new Map(parent.micromolar);
  for (const { ion, real } of spike.ions) {
    micromolar.set(ion, (micromolar.get(ion) ?? 0) + (real / soluteNamed(ion).molarMass) * 1000);
  }
  return { ...parent, kind: "matrix spike", solution: spike.name, parent, micromolar };
}

/** Instrument errors of the run: volume, drift of retention, jitter, carbonate and void of every injection. */
function inject(seed: number, method: ChannelMethod, orders: readonly Order[]): PlannedInjection[] {
  const run = stream(seed, method.channel, "run");
  const volumeSpread = run.between(0.002, 0.004);
  const drift = run.between(0.0015, 0.004) * (run.chance(0.5) ? 1 : -1);
  const prefix = method.channel === "anion" ? "A" : "K";
  const ids = new Map(orders.map((order, i) => [order, `${prefix}${String(i + 1).padStart(3, "0")}`]));
  return orders.map((order, i): PlannedInjection => {
    const id = ids.get(order) ?? "";
    const random = stream(seed, method.channel, "injection", i, order.kind, order.solution, order.dilution);
    const injected: Injected = {
      injection: id,
      micromolar: order.micromolar,
      volumeFactor: 1 + volumeSpread * random.normal(),
      retention: {
        strength: (drift * i) / (orders.length - 1) + 2e-4 * random.normal(),
        flow: 3e-4 * random.normal(),
      },
      carbonate:
        method.channel === "anion" ? (3e-6 + 5e-6 * order.bicarbonate) * random.logBetween(0.8, 1.25) : 0,
      voidDepth: 1.2 * random.between(0.8, 1.1),
    };
    const { kind, solution, dilution, uDilution } = order;
    return {
      id,
      kind,
      solution,
      dilution,
      uDilution,
      parent: order.parent && ids.get(order.parent),
      injected,
    };
  });
}

/** The worksheet of one channel. */
export function runPlan(seed: number, method: ChannelMethod, samples: readonly SampleTruth[]): RunPlan {
  const standards = standardsOf(seed, method);
  const spike = spikeOf(seed, method, `${method.channel} spike`);
  const named = (name: string): Standard => {
    const found = standards.get(`${method.channel} ${name}`);
    if (!found) throw new Error(`no standard ${name}`);
    return found;
  };
  const checks = [named("check mid"), named("check high")];
  const orders = [
    blank(),
    blank(),
    ...calibrationOrders([...standards.values()], stream(seed, method.channel, "repeats")),
    blank(),
    fromStandard("second source", named("second source")),
    fromStandard("fortified blank", named("fortified water")),
    fromStandard("continuing check", checks[0]),
    ...sampleOrders(seed, method, samples, checks, spike),
    fromStandard("continuing check", checks[1]),
    blank(),
  ];
  return { standards: [...standards.values(), spike], injections: inject(seed, method, orders) };
}
