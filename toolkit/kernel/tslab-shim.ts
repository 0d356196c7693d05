import { randomUUID } from "node:crypto";
import { wireReady } from "./display-bundle.js";
import type { MimeBundle } from "./thread-messages.js";

/** Shows a bundle below the running cell; with `update` it replaces the one shown before under the same id. */
export type SendDisplay = (
  bundle: MimeBundle,
  options?: { readonly displayId?: string; readonly update?: boolean },
) => void;

const METHODS: Readonly<Record<string, string>> = {
  javascript: "text/javascript",
  html: "text/html",
  markdown: "text/markdown",
  latex: "text/latex",
  svg: "image/svg+xml",
  png: "image/png",
  jpeg: "image/jpeg",
  gif: "image/gif",
  pdf: "application/pdf",
  text: "text/plain",
};

type Raw = (mime: string, data: unknown) => void;

/** What `import { display, newDisplay } from "tslab"` gives in a cell. */
export function tslabShim(send: SendDisplay, versions: Readonly<Record<string, string>>): object {
  return {
    display: methodsOn((mime, data) => send(wireReady({ [mime]: data }))),
    newDisplay: () => {
      const displayId = randomUUID();
      let update = false;
      return methodsOn((mime, data) => {
        send(wireReady({ [mime]: data }), { displayId, update });
        update = true;
      });
    },
    versions,
  };
}

function methodsOn(raw: Raw): object {
  const methods = Object.entries(METHODS).map(([name, mime]) => [name, (data: unknown) => raw(mime, data)]);
  return { raw, ...Object.fromEntries(methods) };
}
