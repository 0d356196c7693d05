#!/usr/bin/env node
import { existsSync } from "node:fs";

const main = new URL("../dist/command/main.js", import.meta.url);
if (!existsSync(main)) {
  console.error("ionbook is not built yet: run `npm run build` in the root of the checkout.");
  process.exit(1);
}
const { run } = await import(main.href);
process.exitCode = await run(process.argv.slice(2));
