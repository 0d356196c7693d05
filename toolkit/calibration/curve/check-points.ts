import { IonbookError } from "../../errors.js";
import { levelCount } from "../response/levels.js";
import type { CalibrationModel, StandardReading } from "../response/types.js";

/** Fewest levels of different concentration that determine each model; one reading more is needed to judge it. */
const LEVELS_NEEDED: Readonly<Record<CalibrationModel, number>> = {
  linear: 2,
  "through-zero": 1,
  quadratic: 3,
  weak: 2,
  physical: 1,
};

const EXAMPLE = "[{ concentration: 0.5, response: 0.031 }, …]";

/**
 * Refuses what is no list of readings, and two lists where one was asked for.
 * @param call name of the public function, for the message
 * @param written how its call is written with the list
 * @throws IonbookError "bad-points"
 */
export function requirePoints(
  points: unknown,
  options: unknown,
  call: string,
  written: (list: string) => string = (list) => `${call}(${list}, { ion: "chloride" })`,
): void {
  const bare = Array.isArray(points) && points.some((point) => typeof point !== "object" || point === null);
  if (Array.isArray(points) && !bare && !Array.isArray(options)) return;
  throw new IonbookError(
    "bad-points",
    `${call} needs one list of readings, each with its concentration and its response: ${written(EXAMPLE)}`,
  );
}

/**
 * Refuses standards that no curve can be fitted to.
 * @throws IonbookError "too-few-points", "too-few-levels", "not-a-number", "negative-concentration",
 *   "negative-uncertainty", "bad-dof"
 */
export function checkPoints(points: readonly StandardReading[], model: CalibrationModel): void {
  for (let i = 0; i < points.length; i++) checkPoint(points[i], i);
  const needed = LEVELS_NEEDED[model];
  if (points.length <= needed) {
    throw new IonbookError(
      "too-few-points",
      `A ${model} calibration needs at least ${needed + 1} readings, there are ${points.length}: ` +
        "inject more standards or choose a simpler model",
    );
  }
  // Both of these go through zero, so a level at zero tells them nothing.
  const pinned = model === "through-zero" || model === "weak" || model === "physical";
  const levels = levelCount(points, pinned);
  if (levels < needed) {
    throw new IonbookError(
      "too-few-levels",
      `A ${model} calibration needs at least ${needed} different concentrations${pinned ? " above zero" : ""}, ` +
        `there ${levels === 1 ? "is" : "are"} ${levels}: add levels or choose a simpler model`,
    );
  }
}

function checkPoint(point: StandardReading, index: number): void {
  const what = () => point.label ?? `point ${index + 1}`;
  if (!Number.isFinite(point.concentration) || !Number.isFinite(point.response)) {
    throw new IonbookError(
      "not-a-number",
      `${what()} has concentration ${quoted(point.concentration)} and response ${quoted(point.response)}: both must be numbers. ` +
        "Leave a missing reading out",
    );
  }
  if (point.concentration < 0) {
    throw new IonbookError(
      "negative-concentration",
      `${what()} has concentration ${point.concentration}: a standard cannot hold less than nothing`,
    );
  }
  const few = point.sources?.find(({ dof }) => dof !== undefined && !(dof >= 1));
  if (few) {
    throw new IonbookError(
      "bad-dof",
      `${what()}: its source "${few.source}" has ${String(few.dof)} degrees of freedom; give 1 or more, or leave them out`,
    );
  }
  if (point.u !== undefined && !(point.u >= 0 && point.u < Infinity)) {
    throw new IonbookError(
      "negative-uncertainty",
      `${what()} has the standard uncertainty ${point.u}: give a number not below zero, or leave it out`,
    );
  }
}

/** A text in its quotes, so that "1.5" is told from 1.5. */
function quoted(value: unknown): string {
  return typeof value === "string" ? `"${value}"` : String(value);
}
