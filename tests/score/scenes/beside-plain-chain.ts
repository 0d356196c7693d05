import type { JudgedScene } from "./judge.js";
import { errorsOf, isClaimed, quantile } from "./statistics.js";

/**
 * Median / 90 % point of the area error, %, of the handbook's plain chain with a perpendicular drop after blank
 * subtraction, and of its combined rule with single and with slow tails (handbook SIMULATOR §6; the same ions).
 */
const REFERENCE: Readonly<Record<string, readonly [drop: string, combined: string, slow: string]>> = {
  fluoride: ["0.0/0.2", "0.0/0.3", "-0.4/0.6"],
  acetate: ["-0.3/2.5", "", ""],
  formate: ["-0.5/2.4", "", ""],
  chlorite: ["-1.5/3.4", "", ""],
  bromate: ["-2.8/10, 9 of 15 missed", "-2.9/28", "-4.5/34"],
  chloride: ["0.00/0.01", "0.00", "-0.2"],
  nitrite: ["-2.6/9.2", "-1.6/7.3", "-1.2/5.4"],
  chlorate: ["-4.6/19", "-2.6/12", "-3.9/15"],
  bromide: ["-3.0/10", "+0.9/3.2", "+0.1/3.5"],
  nitrate: ["-0.1/0.2", "", ""],
  sulfate: ["0.00/0.01", "0.00", "-0.2"],
  phosphate: ["+0.5/3.9", "+0.7/3.4", "-0.1/3.2"],
};

/** Every ion of the anion scenes with the usual noise beside the handbook's numbers; nothing divided by anything. */
export function besidePlainChain(scenes: readonly JudgedScene[]): readonly (readonly string[])[] {
  const usual = scenes.filter(({ scene }) => scene.family === "anions" && scene.noise === "white + 1/f");
  const peaks = usual.flatMap((scene) => scene.peaks);
  const lines = Object.entries(REFERENCE).map(([ion, reference]) => {
    const all = peaks.filter(({ truth }) => truth.ion === ion);
    const claimed = all.filter(isClaimed);
    const missed = all.filter(({ found }) => found === undefined).length;
    const raw = claimed.map(({ found }) => 100 * (found.raw - 1));
    const { median, p90 } = errorsOf(claimed);
    const undivided = `${quantile(raw, 0.5).toFixed(2)}/${quantile(raw.map(Math.abs), 0.9).toFixed(2)}`;
    return [
      ion,
      String(all.length),
      String(missed),
      undivided,
      `${median.toFixed(2)}/${p90.toFixed(2)}`,
      ...reference,
    ];
  });
  return [
    [
      "ion",
      "n",
      "missed",
      "found/true − 1, %",
      "divided by standards",
      "plain drop",
      "combined",
      "combined, slow tails",
    ],
    ...lines,
  ];
}
