import { readFileSync } from "node:fs";

/** Version of this package, from its package.json, which stands two or three folders up (source or build). */
export function packageVersion(): string {
  for (const place of ["../../package.json", "../../../package.json"]) {
    try {
      const found = JSON.parse(readFileSync(new URL(place, import.meta.url), "utf8")) as {
        name?: string;
        version?: string;
      };
      if (found.name === "ionbook" && found.version !== undefined) return found.version;
    } catch {
      // Not there: the other layout.
    }
  }
  return "of unknown version";
}
