/** What peaks look like at one retention time; all in min. */
export interface PeakShapeAt {
  readonly retentionTime: number;
  readonly sigma: number;
  readonly tau: number;
}

/** Shape between the known ones: σ and τ/σ by straight lines over the retention time, held beyond the ends. */
export function shapeAt(
  shapes: readonly PeakShapeAt[],
  retentionTime: number,
): { readonly sigma: number; readonly tau: number } | undefined {
  if (shapes.length === 0) return undefined;
  const after = shapes.findIndex((shape) => shape.retentionTime >= retentionTime);
  const b = shapes[after < 0 ? shapes.length - 1 : after];
  const a = after > 0 ? shapes[after - 1] : b;
  const span = b.retentionTime - a.retentionTime;
  const part = span > 0 ? Math.min(Math.max((retentionTime - a.retentionTime) / span, 0), 1) : 1;
  const sigma = a.sigma + part * (b.sigma - a.sigma);
  const tail = a.tau / a.sigma + part * (b.tau / b.sigma - a.tau / a.sigma);
  return { sigma, tau: tail * sigma };
}
