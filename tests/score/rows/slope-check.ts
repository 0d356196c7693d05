import { slopeAgainstTheory } from "../../../toolkit/calibration/theory/slope-check.js";
import { slipsOf } from "../../../toolkit/calibration/theory/slope-slips.js";
import { ion } from "../../../toolkit/ions/ion-table.js";
import { createRandom, type Random } from "../../../toolkit/numeric/random.js";
import type { Row } from "../scenes/rows.js";
import { amountAtArea, areaAtCell, cellConcentration } from "./cell-areas.js";
import { shareOf, shortShareOf } from "./shares.js";
import { drawBetween, type RowSize, SEEDS } from "./size.js";

const ANIONS = ["chloride", "nitrite", "bromide", "nitrate", "sulfate", "phosphate"] as const;
const STRONG = ["chloride", "bromide", "nitrate", "sulfate"] as const;
const DRAWS: Readonly<Record<RowSize, number>> = { small: 9, full: 150 };
/** Relative errors of a stock and of a slope read from its calibration. */
const STOCK = 0.007;
const SLOPE = 0.005;
const LOOP = 25;

/** A slip is named when its own sentence, or one of the same ratio, is the likely one and no other ion is accused. */
export function slopeCheckRows(size: RowSize): readonly Row[] {
  const cases = SEEDS.flatMap((seed) => {
    const random = createRandom(seed);
    return Array.from({ length: DRAWS[size] }, (_, i) => injectAndCheck(i % 3 === 0, random));
  });
  const rows = [
    ["slips named", cases.filter(({ kind }) => kind === "slip")],
    ["a standard 10 to 20 % weak named", cases.filter(({ kind }) => kind === "weak")],
    ["right standards passed", cases.filter(({ kind }) => kind === "none")],
  ] as const;
  return rows.map(([name, list]) => {
    const right = shareOf(list, (one) => one.right);
    const wrong = list.filter((one) => !one.right).slice(0, 4);
    const offenders = wrong.length === 0 ? "" : `; not: ${wrong.map(({ what }) => what).join("; ")}`;
    return {
      name: `slope check: ${name}`,
      n: right.n,
      value: `${shortShareOf(right)}${size === "full" ? offenders : ""}`,
      accept: "≥ 0.90",
      pass: right.share >= 0.9,
    };
  });
}

function injectAndCheck(calm: boolean, random: Random) {
  const carbonicAcid = 2e-6 * random.uniform();
  const area = areaAtCell("chloride", 10 ** drawBetween(random, -0.3, 1), carbonicAcid);
  const { kind, name, ratio } = drawFault(calm, random);
  const points = ANIONS.map((each) => {
    const nmol = amountAtArea(each, area, carbonicAcid);
    const error = (1 + STOCK * random.normal()) * (1 + SLOPE * random.normal());
    // What was entered is the true amount over the ratio by which the slope comes out wrong.
    const entered = ((nmol / LOOP) * ion(each).molarMass * error) / (each === name ? ratio : 1);
    return { ion: each, area, concentration: entered, cellConcentration: cellConcentration(nmol) };
  });
  const check = slopeAgainstTheory(points, { loop: LOOP, flow: 1 });
  const accused = check.ions.filter(({ passed }) => !passed);
  const likely = accused[0]?.likely ?? "nothing";
  const right =
    kind === "none"
      ? accused.length === 0
      : accused.length === 1 &&
        accused[0].ion === name &&
        (kind === "weak"
          ? /weaker/.test(likely)
          : Math.abs((accused[0].slips[0]?.ratio ?? 0) / ratio - 1) < 1e-9);
  return {
    kind,
    right,
    what: `${name} × ${ratio.toPrecision(3)} → ${accused.map((each) => each.ion).join(", ")}: ${likely}`,
  };
}

function drawFault(calm: boolean, random: Random) {
  if (calm) {
    const weak = random.uniform() < 0.5;
    const name = STRONG[Math.floor(random.uniform() * STRONG.length)];
    return weak
      ? ({ kind: "weak", name, ratio: drawBetween(random, 0.8, 0.9) } as const)
      : ({ kind: "none", name, ratio: 1 } as const);
  }
  const name = ANIONS[Math.floor(random.uniform() * ANIONS.length)];
  const slips = slipsOf(name);
  return { kind: "slip", name, ratio: slips[Math.floor(random.uniform() * slips.length)].ratio } as const;
}
