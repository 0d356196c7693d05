export const unknownPeaks = (..._: unknown[]) => [];
export const unknownCharges = (..._: unknown[]) => new Map();
