import { NORMAL, type Source } from "../../uncertainty/known-sources.js";

/**
 * A name for a curve that was given none: the ion, and four hexadecimal digits from the data and the choices, so that two
 * curves of one ion are two sources and the same curve fitted twice is one.
 */
export function curveName(ion: string | undefined, model: string, numbers: readonly Float64Array[]): string {
  return `curve ${ion === undefined ? "" : `${ion} `}${fingerprint(model, numbers)}`;
}

/** How the coefficients of a curve enter its results: "name (1)", "name (2)", … */
export function ownSources(name: string, count: number, dof: number): readonly Source[] {
  return Array.from({ length: count }, (_, k) => {
    const key = `${name} (${k + 1})`;
    return { key, label: key, u: 1, dof, shape: NORMAL, group: name };
  });
}

/** What is made when it is first asked for, and then kept. */
export function once<Made>(make: () => Made): () => Made {
  let made: Made | undefined;
  return () => {
    made ??= make();
    return made;
  };
}

const one = new Float64Array(1);
const halves = new Uint32Array(one.buffer);

/** FNV-1a over the 32-bit words of the numbers. */
function fingerprint(model: string, numbers: readonly Float64Array[]): string {
  let hash = 0x811c9dc5;
  for (const list of numbers) {
    for (let i = 0; i < list.length; i++) {
      one[0] = list[i];
      hash = Math.imul(hash ^ halves[0], 0x01000193);
      hash = Math.imul(hash ^ halves[1], 0x01000193);
    }
  }
  for (let i = 0; i < model.length; i++) hash = Math.imul(hash ^ model.charCodeAt(i), 0x01000193);
  return ((hash ^ (hash >>> 16)) & 0xffff).toString(16).padStart(4, "0");
}
