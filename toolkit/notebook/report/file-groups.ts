import { createHash } from "node:crypto";

export interface HashedFile {
  readonly path: string;
  readonly sha256: string;
}

/** The data files of one folder. */
export interface FileGroup {
  readonly folder: string;
  readonly files: readonly HashedFile[];
  /** SHA-256 of the list of the folder's files, one a line: SHA-256, two spaces, path; ordered by path. */
  readonly combined: string;
}

/** Files by folder, both in alphabetical order. O(n log n). */
export function fileGroups(files: readonly HashedFile[]): readonly FileGroup[] {
  const groups = new Map<string, HashedFile[]>();
  for (const { path, sha256 } of [...files].sort((a, b) => order(a.path, b.path))) {
    const shown = withoutMachine(path);
    const folder = shown.includes("/") ? shown.slice(0, shown.lastIndexOf("/")) : ".";
    groups.set(folder, [...(groups.get(folder) ?? []), { path: shown, sha256 }]);
  }
  return [...groups]
    .sort(([a], [b]) => order(a, b))
    .map(([folder, members]) => {
      const list = members.map((file) => `${file.sha256}  ${file.path}\n`).join("");
      return { folder, files: members, combined: createHash("sha256").update(list).digest("hex") };
    });
}

/** By code units, the same on every machine. */
function order(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** A path that starts at the root of somebody's disk says nothing to others: its name is kept. */
function withoutMachine(path: string): string {
  const slashed = path.replace(/\\/g, "/");
  return /^(?:\/|[A-Za-z]:|file:)/.test(slashed) ? slashed.slice(slashed.lastIndexOf("/") + 1) : slashed;
}
