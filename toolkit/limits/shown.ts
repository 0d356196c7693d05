import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";

/** What every result that people look at can do. */
export interface Shown {
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** The figures as a result that shows itself: by its registered view, or as `text`, which may be written when asked for. */
export function shown<T extends { readonly kind: string }>(
  figures: T,
  text: string | (() => string),
): T & Shown {
  const result = {
    ...figures,
    toString: typeof text === "string" ? () => text : text,
    [DISPLAY]: () => displayOf(result),
  };
  // Neither belongs to the figures when they are listed or copied.
  Object.defineProperty(result, "toString", { enumerable: false });
  Object.defineProperty(result, DISPLAY, { enumerable: false });
  return Object.freeze(result);
}
