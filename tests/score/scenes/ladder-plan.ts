import type { Random } from "../../../toolkit/numeric/random.js";
import type { RiderDesign } from "./scene.js";

/** A substance of the ladder: where its top stands in s, and what it is there for. All of it invented. */
export interface Rung {
  readonly ion: string;
  readonly apex: number;
}

/** What a run holds of a rung: its height in µS/cm, its overload, and the design of a rider. */
export interface Load {
  readonly rung: Rung;
  readonly height: number;
  readonly overload: number;
  readonly rider?: RiderDesign;
}

export const RATIOS = [100, 1000, 10_000] as const;
export const GAPS = [6, 9, 14] as const;
export const GIANTS: readonly Rung[] = [
  { ion: "giant 1", apex: 560 },
  { ion: "giant 2", apex: 1050 },
];
const ISOLATED: readonly Rung[] = [
  { ion: "single 1", apex: 210 },
  { ion: "single 2", apex: 885 },
  { ion: "single 3", apex: 1410 },
];
const PAIRS = [300, 790, 1270] as const;
/** Height of every rider, µS/cm: 30 times the white noise. */
export const RIDER_HEIGHT = 0.015;
/** Overload of anything but a giant, per µS/cm. */
const OVERLOAD_PER_HEIGHT = 0.02;
/** Highest level of the standards, µS/cm, and the six levels over three decades. */
const TOP_LEVEL = 1;
export const LEVELS = [1, 0.25, 0.063, 0.016, 0.004, 0.001] as const;

/** Width σ (s) and tail τ/σ of a band with its top at a time in s. */
export function sigmaAt(apex: number): number {
  return 4 + apex / 1000;
}
export function tailingAt(apex: number): number {
  return 0.3 + (0.2 * apex) / 1500;
}

/** Where the riders of a giant stand: 6, 9 and 14 σ of the giant behind it and in front of it. */
export function riderRungs(giant: Rung): readonly (Rung & Pick<RiderDesign, "gap" | "side">)[] {
  return GAPS.flatMap((gap) =>
    (["in front", "behind"] as const).map((side) => ({
      ion: `${giant.ion}, ${gap} σ ${side}`,
      apex: giant.apex + (side === "behind" ? gap : -gap) * sigmaAt(giant.apex),
      gap,
      side,
    })),
  );
}

/** The pairs of a scene: resolutions 0.8 to 1.5, one from each third of the range. */
export function pairRungs(random: Random): readonly (readonly [Rung, Rung])[] {
  const shift = random.uniform();
  return PAIRS.map((apex, k) => {
    const resolution = 0.8 + (0.7 * ((k + shift) % 3)) / 3;
    // Rs = 1.18 Δ/(W₁ + W₂), W = 2.355 σ
    const distance = (resolution * 2 * 2.3548 * sigmaAt(apex)) / 1.18;
    return [
      { ion: `pair ${k + 1} a`, apex },
      { ion: `pair ${k + 1} b`, apex: apex + distance },
    ];
  });
}

type Pairs = readonly (readonly [Rung, Rung])[];

function load(rung: Rung, height: number, rider?: RiderDesign): Load {
  const overload = OVERLOAD_PER_HEIGHT * height;
  return rider === undefined ? { rung, height, overload } : { rung, height, overload, rider };
}

/** What the mixtures of the standards hold: in each, everything stands as it does in a sample without its giants. */
export const MIXTURES = ["giants, pairs and singles", "riders of 6 and 14 σ", "riders of 9 σ"] as const;

/** One standard of a mixture: a giant's limits must not be cut by riders as high as itself, nor one rider's by another. */
export function standardLoads(
  pairs: Pairs,
  level: number,
  mixture: (typeof MIXTURES)[number],
): readonly Load[] {
  const riders = GIANTS.flatMap(riderRungs);
  const rungs =
    mixture === "giants, pairs and singles"
      ? [...ISOLATED, ...pairs.flat(), ...GIANTS]
      : riders.filter(({ gap }) => (gap === 9) === (mixture === "riders of 9 σ"));
  return rungs.map((rung) => load(rung, TOP_LEVEL * level));
}

/** One sample, number `run` of a scene: heights are drawn, ratios and gaps of the riders go round. */
export function sampleLoads(pairs: Pairs, run: number, random: Random): readonly Load[] {
  const between = (low: number, high: number) => low * (high / low) ** random.uniform();
  const turn = Math.floor(run / 3);
  const profile = Math.floor(run / 9) % 2 === 1;
  const singles = ISOLATED.map((rung) => load(rung, between(0.004, 1.5)));
  const double = pairs.flatMap(([a, b]) => {
    const high = between(0.04, 1.5);
    const low = high / between(1, 10);
    return random.uniform() < 0.5 ? [load(a, high), load(b, low)] : [load(a, low), load(b, high)];
  });
  const riders = GIANTS.flatMap((giant, g): Load[] => {
    const ratio = RATIOS[(run + g) % 3];
    const wanted = { behind: GAPS[(turn + g) % 3], "in front": GAPS[(turn + g + 1) % 3] };
    const overload = 0.5 + 3.5 * random.uniform();
    return [
      { rung: giant, height: ratio * RIDER_HEIGHT, overload },
      ...riderRungs(giant)
        .filter(({ side, gap }) => wanted[side] === gap)
        .map((rung) => load(rung, RIDER_HEIGHT, { ratio, gap: rung.gap, side: rung.side, profile })),
    ];
  });
  return [...singles, ...double, ...riders];
}

/** Whether the loads of a run are evaluated with their giants' own profiles. */
export function withProfile(loads: readonly Load[]): boolean {
  return loads.some(({ rider }) => rider?.profile === true);
}
