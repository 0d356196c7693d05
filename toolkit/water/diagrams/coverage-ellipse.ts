import { fisherQuantile } from "../../numeric/distributions.js";
import { covariance, type MeasuredValue } from "../../uncertainty/measured.js";
import type { PlanePoint } from "./piper-coordinates.js";

const CORNERS = 48;

/**
 * The joint coverage region of two correlated values as a closed ring of points, against the clock: the ellipse
 * (p − m)ᵀ·V⁻¹·(p − m) = 2·F, V their covariance, F the quantile of Fisher's distribution at 2 and ν degrees of
 * freedom, ν the smaller of the two. Empty where neither has an uncertainty.
 *
 * @param level coverage probability, 0 to 1
 * @throws IonbookError "out-of-domain" unless 0 < level < 1
 * @source JCGM 102:2011, 6.5 (elliptical coverage regions; from memory)
 */
export function coverageEllipse(x: MeasuredValue, y: MeasuredValue, level: number): readonly PlanePoint[] {
  const [vx, vy, vxy] = [x.u ** 2, y.u ** 2, covariance(x, y)];
  if (!(vx + vy > 0)) return [];
  const dof = Math.max(1, Math.min(x.dof, y.dof));
  const scale = Math.sqrt(2 * fisherQuantile(level, 2, dof));
  const half = (vx - vy) / 2;
  const root = Math.hypot(half, vxy);
  const long = scale * Math.sqrt((vx + vy) / 2 + root);
  const short = scale * Math.sqrt(Math.max(0, (vx + vy) / 2 - root));
  const angle = Math.atan2(vxy, half) / 2;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  return Array.from({ length: CORNERS }, (_, i) => {
    const turn = (2 * Math.PI * i) / CORNERS;
    const [a, b] = [long * Math.cos(turn), short * Math.sin(turn)];
    return { x: x.value + a * cos - b * sin, y: y.value + a * sin + b * cos };
  });
}

/**
 * The part of a ring of points inside a convex field: each side of the field cuts off what lies beyond it.
 *
 * @param field corners against the clock
 * @source I.E. Sutherland and G.W. Hodgman, Commun. ACM 17 (1974) 32
 */
export function clippedTo(field: readonly PlanePoint[], ring: readonly PlanePoint[]): readonly PlanePoint[] {
  let kept = ring;
  for (let i = 0; i < field.length && kept.length > 0; i++)
    kept = cutBy(field[i], field[(i + 1) % field.length], kept);
  return kept;
}

function cutBy(from: PlanePoint, to: PlanePoint, ring: readonly PlanePoint[]): readonly PlanePoint[] {
  const side = (p: PlanePoint): number => (to.x - from.x) * (p.y - from.y) - (to.y - from.y) * (p.x - from.x);
  const kept: PlanePoint[] = [];
  for (let i = 0; i < ring.length; i++) {
    const [a, b] = [ring[i], ring[(i + 1) % ring.length]];
    const [sa, sb] = [side(a), side(b)];
    if (sa >= 0) kept.push(a);
    if (sa >= 0 === sb >= 0) continue;
    const at = sa / (sa - sb);
    kept.push({ x: a.x + at * (b.x - a.x), y: a.y + at * (b.y - a.y) });
  }
  return kept;
}
