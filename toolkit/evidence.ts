/** What a result rests on and a notebook's run keeps beside it. */
export type Evidence =
  | { readonly kind: "file read"; readonly path: string }
  | { readonly kind: "seed"; readonly seed: number | string; readonly purpose: string };

/** Under this name the notebook kernel listens; without a listener nothing is kept. */
const LISTENER = Symbol.for("ionbook.evidence");

/** Says that a file of data was read; a folder that is opened says so for every file in it. */
export function noteFileRead(path: string): void {
  note({ kind: "file read", path });
}

/** Says with which seed something random was drawn, in words: "Monte Carlo, 1 000 000 trials". */
export function noteSeed(seed: number | string, purpose: string): void {
  note({ kind: "seed", seed, purpose });
}

function note(evidence: Evidence): void {
  const listener: unknown = Reflect.get(globalThis, LISTENER);
  if (typeof listener === "function") listener(evidence);
}
