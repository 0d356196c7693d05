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
  return withHiddenMethods({ ...part }, () => textOf(part));
}

/** Gives `shown` the ways to show itself, as properties that nobody lists, and closes it. */
export function withHiddenMethods<T extends { readonly kind: string }>(
  shown: T,
  textOf: () => string,
): T & SelfShowing {
  const methods = { toString: textOf, [DISPLAY]: () => displayOf(shown) };
  for (const name of Reflect.ownKeys(methods)) {
    Object.defineProperty(shown, name, { value: Reflect.get(methods, name), enumerable: false });
  }
  return Object.freeze(shown) as T & SelfShowing;
}
