import { emg, emgWithGradient } from "../shape/emg.js";
import { centreFromApex } from "../shape/integration-window.js";
import type { Crossings, MeasurablePeak, PeakMoments, PeakShape } from "../shape/peak-shape.js";

/**
 * A fitted peak, measured on its exponentially modified Gaussian itself.
 *
 * @source closed-form moments: Grushka, Anal. Chem. 44 (1972) 1733 (from memory)
 */
export function measureShape(peak: PeakShape): MeasurablePeak {
  const { retentionTime, sigma, tau } = peak;
  const mu = centreFromApex(retentionTime, peak);
  const top = emg(retentionTime, mu, sigma, tau);
  const moments = closedFormMoments(peak, mu);
  const crossing = (share: number, direction: -1 | 1): number => {
    const above = (distance: number) =>
      emg(retentionTime + direction * distance, mu, sigma, tau) > share * top;
    let far = sigma;
    while (above(far)) far *= 2;
    return retentionTime + direction * lastWhere(above, far);
  };
  const crossings = (share: number): Crossings => ({ front: crossing(share, -1), back: crossing(share, 1) });
  return {
    retentionTime,
    height: moments.area * top,
    moments,
    warnings: [],
    crossings,
    tangents: () => {
      const low = crossings(0.05);
      return {
        front: tangentFoot(peak, mu, retentionTime, low.front),
        back: tangentFoot(peak, mu, retentionTime, low.back),
      };
    },
  };
}

/** Where the steepest tangent between the apex and `low` meets the base. */
function tangentFoot({ sigma, tau }: PeakShape, mu: number, apex: number, low: number): number {
  const out = new Float64Array(4);
  const steepness = (t: number): number => {
    emgWithGradient(t, mu, sigma, tau, out);
    return Math.abs(out[1]);
  };
  // The foot moves with the square of the inflection's error: thirds are fine enough after 60 turns.
  let [from, to] = [apex, low];
  for (let turn = 0; turn < 60; turn++) {
    const third = (to - from) / 3;
    if (steepness(from + third) < steepness(to - third)) from += third;
    else to -= third;
  }
  const inflection = 0.5 * (from + to);
  emgWithGradient(inflection, mu, sigma, tau, out);
  return inflection + out[0] / out[1];
}

/** Largest argument from 0 to `far` at which a condition holds that holds up to one point and not beyond. */
function lastWhere(holds: (x: number) => boolean, far: number): number {
  let [low, high] = [0, far];
  for (let turn = 0; turn < 60; turn++) {
    const middle = 0.5 * (low + high);
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/** M₁ = μ + τ, M₂ = σ² + τ², M₃ = 2τ³, excess 6τ⁴/M₂². */
function closedFormMoments({ sigma, tau, area = Number.NaN }: PeakShape, mu: number): PeakMoments {
  const variance = sigma ** 2 + tau ** 2;
  return {
    area: typeof area === "number" ? area : area.value,
    mean: mu + tau,
    variance,
    skewness: (2 * tau ** 3) / variance ** 1.5,
    excessKurtosis: (6 * tau ** 4) / variance ** 2,
  };
}
