import { createHash } from "node:crypto";

/**
 * The content policy of a page: nothing may be loaded from anywhere, and of scripts only these very texts run, so no
 * handler, link or script that slipped in with a text can do anything.
 *
 * @source W3C Content Security Policy Level 3, hash sources
 */
export function contentPolicy(scripts: readonly string[]): string {
  const hashes = scripts.map((script) => `'sha256-${createHash("sha256").update(script).digest("base64")}'`);
  const allowed = hashes.length > 0 ? hashes.join(" ") : "'none'";
  return [
    "default-src 'none'",
    "style-src 'unsafe-inline'",
    `script-src ${allowed}`,
    "img-src data:",
    "font-src data:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
}
