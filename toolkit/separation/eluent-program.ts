import { IonbookError } from "../errors.js";

/** Eluent programme as the pump is told: time in min and concentration in mmol/L, linear between the points, the
 * last concentration held; two points at one time are a step. */
export type EluentProgram = readonly (readonly [time: number, concentration: number])[];

/** One straight stretch of a programme. The last one has no end (`end` = Infinity) and slope 0. */
export interface EluentSegment {
  /** min */
  readonly start: number;
  readonly end: number;
  /** Concentration at `start`, mmol/L. */
  readonly concentration: number;
  /** mmol/L per min */
  readonly slope: number;
}

/**
 * The programme cut into its straight stretches, as an ion at the column inlet meets them.
 *
 * @param program points in rising time; before the first point its concentration holds
 * @param dwellTime min from the gradient former to the column inlet, ≥ 0: shifts every point
 * @throws IonbookError "bad-program" when it has no point, runs back in time, or a concentration is not above 0
 */
export function eluentSegments(program: EluentProgram, dwellTime = 0): readonly EluentSegment[] {
  checkProgram(program);
  const segments: EluentSegment[] = [];
  const first = program[0];
  const begin = first[0] + dwellTime;
  if (begin > 0) segments.push({ start: 0, end: begin, concentration: first[1], slope: 0 });
  for (let i = 1; i < program.length; i++) {
    const [t0, c0] = program[i - 1];
    const [t1, c1] = program[i];
    if (t1 > t0) {
      segments.push({
        start: t0 + dwellTime,
        end: t1 + dwellTime,
        concentration: c0,
        slope: (c1 - c0) / (t1 - t0),
      });
    }
  }
  const last = program[program.length - 1];
  segments.push({ start: last[0] + dwellTime, end: Infinity, concentration: last[1], slope: 0 });
  return segments;
}

/**
 * Eluent concentration at a time, mmol/L: linear between the points, held before the first and after the last;
 * at a step the value after it.
 *
 * @param time min, in the programme's own time
 */
export function eluentConcentration(program: EluentProgram, time: number): number {
  let before = program[0];
  if (time < before[0]) return before[1];
  for (let i = 1; i < program.length; i++) {
    const point = program[i];
    if (time < point[0]) {
      return before[1] + ((point[1] - before[1]) * (time - before[0])) / (point[0] - before[0]);
    }
    before = point;
  }
  return before[1];
}

function checkProgram(program: EluentProgram): void {
  if (program.length === 0) {
    throw new IonbookError(
      "bad-program",
      "The eluent programme has no point: give at least [0, concentration in mmol/L]",
    );
  }
  for (let i = 0; i < program.length; i++) {
    const [time, concentration] = program[i];
    if (!(concentration > 0) || !Number.isFinite(concentration)) {
      throw new IonbookError(
        "bad-program",
        `Point ${i + 1} of the eluent programme has the concentration ${concentration}: it must be above 0 mmol/L, because retention grows without limit towards 0`,
      );
    }
    if (!Number.isFinite(time) || (i > 0 && time < program[i - 1][0])) {
      throw new IonbookError(
        "bad-program",
        `Point ${i + 1} of the eluent programme is at ${time} min, before the point in front of it: list the points in rising time`,
      );
    }
  }
}
