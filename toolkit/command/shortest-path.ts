import { relative } from "node:path";

/** A path as short as it can be written from here without climbing. */
export function shortestPath(path: string): string {
  const fromHere = relative(process.cwd(), path);
  return fromHere.startsWith("..") ? path : fromHere;
}
