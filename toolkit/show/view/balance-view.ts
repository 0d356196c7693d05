import type { SampleBalance } from "../../batch/types.js";
import type { DisplayBundle } from "../../display.js";
import type { ChargeBalance } from "../../water/charge-balance.js";
import { balanceChart } from "../chart/balance-chart.js";
import { measuredText } from "../text/measured-text.js";
import { chartBundle } from "./chart-bundle.js";

/** Paired bars of one sample's charge, with criteria and suspects in the text. */
export function sampleBalanceView(balance: SampleBalance): Promise<DisplayBundle> {
  return chartBundle(balanceText(balance, balance.suspects), balanceChart([balance]));
}

/** The same for a balance of concentrations without a batch. */
export function chargeBalanceView(balance: ChargeBalance): Promise<DisplayBundle> {
  const parts = balance.parts.map((part) => ({ ...part, bound: false }));
  const suspects = balance.suspects.map((suspect) => `${suspect.cause}: ${suspect.why}`);
  const { cations, anions, percentDifference, passed, criteria } = balance;
  const drawn: SampleBalance = {
    kind: "sample-balance",
    sample: "",
    cations,
    anions,
    percentDifference,
    unknownAnions: undefined,
    passed,
    suspects,
    parts,
    criteria,
  };
  return chartBundle(String(balance), balanceChart([drawn]));
}

function balanceText(balance: SampleBalance, suspects: readonly string[]): string {
  const lines = [
    `${balance.sample}: cations ${measuredText(balance.cations)}, anions ${measuredText(balance.anions)}`,
    `difference ${measuredText(balance.percentDifference)}, ${balance.passed ? "passes" : "fails"}`,
    ...balance.criteria.map((each) => `${each.passed ? "meets" : "misses"} ${each.limit} (${each.source})`),
    ...suspects.map((suspect, index) => `suspect ${index + 1}: ${suspect}`),
  ];
  if (balance.unknownAnions) lines.splice(1, 0, `unidentified anions ${measuredText(balance.unknownAnions)}`);
  return lines.join("\n");
}
