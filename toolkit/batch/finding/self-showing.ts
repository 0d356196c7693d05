import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";

/** What a part of the results is given, so that a notebook and a terminal can show it by itself. */
export interface SelfShowing {
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/**
 * The same part of the results, able to show itself. The two methods are no entries: copies, comparisons and lists of
 * its keys see the data alone.
 */
export function selfShowing<T extends { readonly kind: string }>(
  part: T,
  textOf: (part: T) => string,
): T & SelfShowing {
  const shown = { ...part };
  const hidden = (value: unknown): PropertyDescriptor => ({ value, enumerable: false });
  Object.defineProperty(
    shown,
    "toString",
    hidden(() => textOf(part)),
  );
  Object.defineProperty(
    shown,
    DISPLAY,
    hidden(() => displayOf(shown as T & SelfShowing)),
  );
  return Object.freeze(shown) as T & SelfShowing;
}
