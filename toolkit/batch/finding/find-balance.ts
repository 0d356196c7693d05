import { IonbookError } from "../../errors.js";
import type { Results, SampleBalance } from "../types.js";
import { quotedList } from "./find-name.js";
import { findSample } from "./find-sample.js";

/**
 * The charge balance of a sample.
 *
 * @throws IonbookError "unknown-sample", "several-samples", "no-balance"
 */
export function findBalance(results: Results, wanted: string): SampleBalance {
  const { balances, batches } = results;
  const sample = findSample(results, wanted);
  const found = balances.find((each) => each.sample === sample);
  if (found !== undefined) return found;
  if (batches.length < 2) {
    throw new IonbookError(
      "no-balance",
      `A charge balance needs both channels, and these results hold the ${batches[0]?.method.channel ?? "one"} channel alone: quantify both batches together, quantify([anions, cations])`,
    );
  }
  const unit = results.samples.find((row) => row.sample === sample)?.unit;
  const reason =
    unit === "mg/L" || unit === undefined
      ? "it was not injected on both channels"
      : `it is reported in ${unit}; only waters balance`;
  const names = balances.map((each) => each.sample);
  throw new IonbookError(
    "no-balance",
    `"${sample}" has no charge balance: ${reason}. Balanced are ${quotedList(names, "and")}`,
  );
}
