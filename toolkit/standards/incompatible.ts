import { IonbookError } from "../errors.js";
import { ion } from "../ions/ion-table.js";
import { reactionsOf } from "./reactions.js";
import { type Saturation, type SparinglySoluble, saturations } from "./solubility.js";

/** What is in a flask or in the solution an aliquot comes from. */
export interface FlaskContent {
  readonly name: string;
  /** mol/L by ion, the anions of acids too. */
  readonly molar: ReadonlyMap<string, number>;
  /** mol/L */
  readonly acid: number;
}

/** A tenth of saturation is the last that is trusted unseen: the room is colder than 25 °C, and tables differ. */
const LEAST_MARGIN = 0.1;
/** Up to this a solubility product of the tables leaves open whether anything precipitates: they differ threefold. */
const BORDERLINE = 3;
/** So many times saturated, a precipitate forms at once where two aliquots touch, and redissolves slowly. */
const PRECIPITATES_AT_ONCE = 30;
/** More acid than water that stood in air, mol/L. */
const ACID = 1e-5;

/**
 * Refuses a flask whose ions precipitate or react; what is only to be watched comes back as cautions.
 *
 * Refused: ions above three times saturation in the flask, or above thirtyfold where its aliquots touch undiluted
 * (equal volumes); reactions of the table. From a tenth to three times saturation is a caution with its saturation index:
 * the constants are not known well enough for more.
 *
 * @param parents what the aliquots hold
 * @throws IonbookError "incompatible-ions"
 * @source solubility products and reactions as their tables say; the three margins: common practice, no source
 */
export function checkCompatible(
  flask: FlaskContent,
  parents: readonly FlaskContent[],
  table: readonly SparinglySoluble[],
): readonly string[] {
  const cautions: string[] = [];
  const [worst] = saturations(flask.molar, table);
  if (worst && worst.ratio > BORDERLINE) throw precipitates(flask.name, worst);
  if (worst && worst.ratio > LEAST_MARGIN) cautions.push(borderline(flask.name, worst));
  for (const [first, second] of pairsOf(parents)) {
    const [met] = saturations(touching(first, second), table);
    if (!met || met.ratio <= 1) continue;
    if (met.ratio > PRECIPITATES_AT_ONCE) throw precipitates(flask.name, met, [first.name, second.name]);
    cautions.push(
      `${flask.name}: fill the flask two thirds with water before the second of ${first.name} and ${second.name}; undiluted they would precipitate ${met.salt.formula}`,
    );
  }
  for (const { between, what, verdict, dangerous } of reactionsOf(
    new Set(flask.molar.keys()),
    flask.acid > ACID,
  )) {
    const text = `${between.join(" and ")} in ${flask.name}: ${what}`;
    if (verdict === "caution") cautions.push(text);
    else {
      throw new IonbookError(
        "incompatible-ions",
        `${dangerous ? "Danger. " : ""}${text}. Prepare separate standards for them`,
      );
    }
  }
  return cautions;
}

/** The salt with its constant and where that is from. */
function constantOf({ formula, solubilityProduct, source }: SparinglySoluble): string {
  return `solubility product of ${formula} ${solubilityProduct}: ${source}`;
}

function borderline(name: string, { salt, ratio, index }: Saturation): string {
  const [times, at] = [ratio, index].map((value) => Number(value.toPrecision(2)));
  return `${name}: ${salt.cation} and ${salt.anion} stand near the saturation of ${salt.formula}, saturation index ${at} (${times} times saturated; ${constantOf(salt)}). Prepare it thinner, or for the day, and look for a precipitate before use`;
}

function precipitates(name: string, { salt, ratio }: Saturation, touch?: readonly string[]): IonbookError {
  const times = Number(ratio.toPrecision(2));
  const where = touch
    ? `where ${touch.join(" and ")} touch undiluted, ${times} times saturated, and redissolves slowly`
    : `${times} times saturated`;
  return new IonbookError(
    "incompatible-ions",
    `${salt.cation} and ${salt.anion} precipitate as ${salt.formula} in ${name}: ${where} (${constantOf(salt)}). Prepare separate standards for them; a better constant goes into the option solubility`,
  );
}

/** Two liquids in equal volumes, before anything dilutes them. */
function touching(first: FlaskContent, second: FlaskContent): ReadonlyMap<string, number> {
  const mixed = new Map<string, number>();
  for (const { molar } of [first, second]) {
    for (const [name, content] of molar) mixed.set(name, (mixed.get(name) ?? 0) + content / 2);
  }
  return mixed;
}

function pairsOf<T>(list: readonly T[]): readonly (readonly [T, T])[] {
  return list.flatMap((first, i) => list.slice(i + 1).map((second) => [first, second] as const));
}

/** mol/L of mg/L. */
export function molesOf(name: string, milligrams: number): number {
  return milligrams / 1000 / ion(name).molarMass;
}
