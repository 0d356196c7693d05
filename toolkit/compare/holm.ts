import { IonbookError } from "../errors.js";

/**
 * Probabilities of several tests of one question, adjusted so that among all of them a false alarm stays as rare as in
 * a single one: sorted upwards, p₍ᵢ₎' = max over j ≤ i of min(1, (m − j + 1)·p₍ⱼ₎), in the order given.
 *
 * @param probabilities p of m tests, each 0 to 1
 * @throws IonbookError "bad-probability"
 * @source Holm S., A simple sequentially rejective multiple test procedure, Scandinavian Journal of Statistics 6
 *   (1979) 65 (from memory)
 */
export function holmAdjusted(probabilities: readonly number[]): readonly number[] {
  const wrong = probabilities.find((p) => !(p >= 0 && p <= 1));
  if (wrong !== undefined) {
    throw new IonbookError("bad-probability", `${wrong} is no probability: give the p of each test, 0 to 1`);
  }
  const order = probabilities.map((_, index) => index).sort((a, b) => probabilities[a] - probabilities[b]);
  const adjusted = new Array<number>(probabilities.length);
  let largest = 0;
  order.forEach((index, rank) => {
    largest = Math.max(largest, Math.min(1, (order.length - rank) * probabilities[index]));
    adjusted[index] = largest;
  });
  return adjusted;
}
