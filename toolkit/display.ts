/** A notebook's picture of a value: MIME type to data. `text/plain` is always there. */
export type DisplayBundle = Readonly<Record<string, unknown>> & { readonly "text/plain": string };

/** How one kind of result shows itself; may take its time (charts load their library on first use). */
export type View<T> = (value: T) => DisplayBundle | Promise<DisplayBundle>;

/** The method name a notebook kernel looks for. */
export const DISPLAY: unique symbol = Symbol.for("Jupyter.display");

const views = new Map<string, View<never>>();

/**
 * Makes `view` the way every result of this `kind` shows itself from now on. The room `show/` calls it when
 * the package loads, so no measuring room imports anything that draws.
 */
export function registerView<T>(kind: string, view: View<T>): void {
  views.set(kind, view as View<never>);
}

/** What a result's display method returns: the registered view, or its plain text where none is registered. */
export function displayOf(value: {
  readonly kind: string;
  toString(): string;
}): DisplayBundle | Promise<DisplayBundle> {
  const view = views.get(value.kind) as View<unknown> | undefined;
  return view ? view(value) : { "text/plain": String(value) };
}
