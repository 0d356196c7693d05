import { createRandom } from "../../../toolkit/numeric/random.js";
import { diagnoseBatch } from "../../../toolkit/water/diagnosis/diagnose-batch.js";
import type { BalanceDiagnosis } from "../../../toolkit/water/diagnosis/diagnosis-types.js";
import { drawFaultyBatch, drawWaters, FAULTS, type Fault, readBatch } from "./faults.js";
import { asGiven, drawLaboratory } from "./read-waters.js";

/** What the diagnosis says of faulty waters, up to three in a batch of ten, and of clean ones. */
export interface DiagnosisScore {
  readonly seed: number;
  readonly waters: number;
  /** Shares of all faulty waters, %. */
  readonly first: number;
  readonly firstThree: number;
  readonly byFault: readonly {
    readonly fault: Fault;
    readonly waters: number;
    readonly first: number;
    readonly firstThree: number;
    readonly notRaised: number;
  }[];
  /** How often each first-ranked cause was told for each fault. */
  readonly confusion: ReadonlyMap<Fault, ReadonlyMap<string, number>>;
  readonly clean: number;
  /** Clean waters in which something was raised, %. */
  readonly falselyRaised: number;
}

/** @param each waters of each fault; clean waters are as many as all faulty ones */
export function scoreDiagnosis(seed: number, each: number): DiagnosisScore {
  const random = createRandom(seed);
  const byFault: DiagnosisScore["byFault"][number][] = [];
  const confusion = new Map<Fault, Map<string, number>>();
  for (const fault of FAULTS) {
    const told = new Map<string, number>();
    confusion.set(fault, told);
    const count = { waters: 0, first: 0, firstThree: 0, notRaised: 0 };
    while (count.waters < each) {
      const batch = drawFaultyBatch(random, fault);
      const { waters } = diagnoseBatch(batch.records.map((record) => asGiven(record, batch.laboratory)));
      for (const { at, isTrue } of batch.faulty.slice(0, each - count.waters)) {
        const diagnosis = waters[at];
        // A water in which nothing is raised has no diagnosis: its truth is not found.
        const ranked = diagnosis.raised ? diagnosis.hypotheses : [];
        const rank = ranked.findIndex(isTrue);
        count.waters += 1;
        count.first += Number(rank === 0);
        count.firstThree += Number(rank >= 0 && rank < 3);
        count.notRaised += Number(!diagnosis.raised);
        const name = rank === 0 ? "true" : diagnosis.raised ? nameOf(diagnosis) : "nothing raised";
        told.set(name, (told.get(name) ?? 0) + 1);
      }
    }
    byFault.push({ fault, ...count });
  }
  const total = byFault.reduce((sum, { waters }) => sum + waters, 0);
  const share = (key: "first" | "firstThree") =>
    (100 * byFault.reduce((sum, row) => sum + row[key], 0)) / total;
  return {
    ...{ seed, waters: total, first: share("first"), firstThree: share("firstThree"), byFault, confusion },
    ...cleanWaters(random, total),
  };
}

function nameOf({ hypotheses, unexplained }: BalanceDiagnosis): string {
  const [first] = hypotheses;
  if (first === undefined) return unexplained > 0.5 ? "unexplained" : "none";
  if (first.family === "exchanged vials") return first.change.what;
  if (first.family === "dilution") return first.ion === undefined ? first.cause : "dilution of one ion";
  return first.cause;
}

function cleanWaters(random: ReturnType<typeof createRandom>, least: number) {
  let [clean, raised] = [0, 0];
  while (clean < least) {
    const laboratory = drawLaboratory(random);
    const records = readBatch(random, drawWaters(random), laboratory);
    const found = diagnoseBatch(records.map((record) => asGiven(record, laboratory)));
    clean += found.waters.length;
    raised += found.raised.length;
  }
  return { clean, falselyRaised: (100 * raised) / clean };
}

/** Lines of a table: shares by fault, and what was told instead. */
export function scoreTable(score: DiagnosisScore): string {
  const lines = score.byFault.map(({ fault, waters, first, firstThree }) => {
    const told = [...(score.confusion.get(fault) ?? [])]
      .filter(([name]) => name !== "true")
      .sort((a, b) => b[1] - a[1])
      .slice(0, 7)
      .map(([name, count]) => `${name} ${count}`);
    const percent = (part: number) => ((100 * part) / waters).toFixed(1).padStart(6);
    return `  ${fault.padEnd(26)}${String(waters).padStart(5)}${percent(first)}${percent(firstThree)}   ${told.join(", ")}`;
  });
  return [
    `seed ${score.seed}: first ${score.first.toFixed(1)} %, first three ${score.firstThree.toFixed(1)} % of ${score.waters}; raised in ${score.falselyRaised.toFixed(2)} % of ${score.clean} clean waters`,
    "  fault                     waters first  three   told first instead",
    ...lines,
  ].join("\n");
}
