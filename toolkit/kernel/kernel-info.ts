import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { PROTOCOL_VERSION } from "./wire.js";

/** Versions of what a result depends on. */
export function versions(): Readonly<Record<string, string>> {
  const load = createRequire(import.meta.url);
  const tslab = load.resolve("tslab/package.json");
  const compiler = createRequire(tslab).resolve("@tslab/typescript-for-tslab/package.json");
  return {
    ionbook: ownVersion(),
    node: process.versions.node,
    typescript: versionIn(compiler).replace(/-.*$/, ""),
    tslab: versionIn(tslab),
  };
}

/** The package's manifest lies above dist/ when built. */
function ownVersion(): string {
  return versionIn(new URL("../../package.json", import.meta.url));
}

function versionIn(manifest: string | URL): string {
  return (JSON.parse(readFileSync(manifest, "utf8")) as { readonly version: string }).version;
}

/** Content of the `kernel_info_reply`. */
export function kernelInfo(): object {
  const { ionbook, typescript } = versions();
  return {
    status: "ok",
    protocol_version: PROTOCOL_VERSION,
    implementation: "ionbook",
    implementation_version: ionbook,
    language_info: {
      name: "typescript",
      version: typescript,
      mimetype: "text/typescript",
      file_extension: ".ts",
      pygments_lexer: "typescript",
      codemirror_mode: { name: "javascript", mode: "typescript", typescript: true },
      nbconvert_exporter: "script",
    },
    banner: `Ionbook ${ionbook}: TypeScript ${typescript} on Node ${process.versions.node}. import … from "ionbook"`,
    help_links: [{ text: "TypeScript handbook", url: "https://www.typescriptlang.org/docs/handbook/" }],
    debugger: false,
  };
}
