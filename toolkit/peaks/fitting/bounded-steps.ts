import { ScaledSolver } from "../../numeric/scaled-solver.js";
import { Arena } from "../../numeric/scratch.js";
import type { ProjectedProblem } from "./projected-problem.js";

/** Share by which unit diagonals are raised: below what a step could show. */
const RAISE = 1e-14;
/** Rounds in which the damping is looked for, and how near the length must come to the reach. */
const ROUNDS = 12;
const NEAR = 0.15;

/**
 * Steps of a search from where it stands: towards the minimum of the linear picture, within the parameters' bounds and a
 * reach. Parameters that the fit pushes outwards at a bound, or that move nothing (a peak without area), are left out.
 * All memory is made once for a search.
 */
export class BoundedSteps {
  readonly normal: Float64Array;
  readonly slope: Float64Array;
  /** Room for two steps of the search. */
  readonly full: Float64Array;
  readonly step: Float64Array;
  private readonly size: number;
  private readonly roomBelow: Float64Array;
  private readonly roomAbove: Float64Array;
  private readonly free: Int32Array;
  private freeCount = 0;
  private readonly moving: Int32Array;
  private readonly towards: Float64Array;
  private readonly solver: ScaledSolver;
  private readonly arena: Arena;

  constructor(private readonly problem: ProjectedProblem) {
    const { size } = problem;
    this.size = size;
    this.arena = new Arena(size * (size + 6) + ScaledSolver.room(size));
    this.normal = this.arena.take(size * size);
    this.slope = this.arena.take(size);
    this.roomBelow = this.arena.take(size);
    this.roomAbove = this.arena.take(size);
    this.free = new Int32Array(size);
    this.moving = new Int32Array(size);
    this.towards = this.arena.take(size);
    this.full = this.arena.take(size);
    this.step = this.arena.take(size);
    this.solver = new ScaledSolver(size, this.arena);
  }

  /** Gives the memory back; nothing may be asked of the steps afterwards. */
  release(): void {
    this.arena.release();
  }

  /** Takes the linear picture at the parameters evaluated last; returns how many of them may move. */
  lookAround(parameters: Float64Array): number {
    const { size, normal, slope, problem } = this;
    problem.linearise(normal, slope);
    this.freeCount = 0;
    for (let p = 0; p < size; p++) {
      const below = problem.low[p] - parameters[p];
      const above = problem.high[p] - parameters[p];
      this.roomBelow[p] = below;
      this.roomAbove[p] = above;
      const held = (below >= 0 && slope[p] <= 0) || (above <= 0 && slope[p] >= 0);
      if (!held && normal[p * size + p] > 0) this.free[this.freeCount++] = p;
    }
    return this.freeCount;
  }

  /**
   * A δ within the bounds that lowers δᵀ(N + λ·I)δ − 2 slope·δ as far as no bound is in the way: towards the minimum of
   * what is free until a bound is met, which is then held.
   */
  damped(damping: number, step: Float64Array): void {
    const { normal, slope, size, roomBelow, roomAbove, moving, towards } = this;
    let count = this.freeCount;
    for (let r = 0; r < count; r++) moving[r] = this.free[r];
    step.fill(0);
    for (let round = 0; round < 3 * size && count > 0; round++) {
      for (let r = 0; r < count; r++) {
        const p = moving[r];
        let uphill = slope[p] - damping * step[p];
        if (round > 0) for (let c = 0; c < size; c++) uphill -= normal[p * size + c] * step[c];
        towards[r] = uphill;
      }
      this.solver.solve(normal, size, moving, count, damping, RAISE, towards);
      let share = 1;
      let blocking = -1;
      for (let r = 0; r < count; r++) {
        const p = moving[r];
        const limit = ((towards[r] < 0 ? roomBelow[p] : roomAbove[p]) - step[p]) / towards[r];
        if (limit < share) {
          share = limit;
          blocking = r;
        }
      }
      for (let r = 0; r < count; r++) step[moving[r]] += share * towards[r];
      if (blocking < 0) return;
      const p = moving[blocking];
      step[p] = towards[blocking] < 0 ? roomBelow[p] : roomAbove[p];
      count--;
      for (let r = blocking; r < count; r++) moving[r] = moving[r + 1];
    }
  }

  /** The step damped until it is as long as the reach, to 15 %; the whole step where that is short enough. */
  within(reach: number, full: Float64Array, step: Float64Array): void {
    step.set(full);
    if (longest(full) <= reach) return;
    const { normal, size, free, freeCount } = this;
    let low = 0;
    let high = 0;
    for (let r = 0; r < freeCount; r++) {
      const p = free[r];
      high = Math.max(high, normal[p * size + p], Math.abs(this.slope[p]) / reach);
    }
    let damping = 1e-4 * high;
    for (let round = 0; round < ROUNDS; round++) {
      this.damped(damping, step);
      const excess = longest(step) / reach;
      if (Math.abs(excess - 1) <= NEAR) return;
      if (excess > 1) low = damping;
      else high = damping;
      const guess = damping * excess ** 1.5;
      damping = guess > low && guess < high ? guess : low > 0 ? Math.sqrt(low * high) : 1e-3 * high;
    }
  }

  /** The fall of the sum of squares that the linear picture promises: 2 slope·δ − δᵀNδ. */
  promise(step: Float64Array): number {
    const { normal, slope, size } = this;
    let sum = 0;
    for (let r = 0; r < size; r++) {
      let row = 0;
      for (let c = 0; c < size; c++) row += normal[r * size + c] * step[c];
      sum += step[r] * (2 * slope[r] - row);
    }
    return sum;
  }
}

/** Length of a step: that of its longest part. */
export function longest(step: Float64Array): number {
  let most = 0;
  for (let p = 0; p < step.length; p++) most = Math.max(most, Math.abs(step[p]));
  return most;
}
