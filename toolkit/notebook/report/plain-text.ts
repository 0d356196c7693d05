/** Text without the escape sequences of terminals (colours, cursor, links, titles) and other control characters. */
export function withoutAnsi(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
  const escapes = /\u001b(?:\[[0-?]*[ -/]*[@-~]|\][^\u0007\u001b]*(?:\u0007|\u001b\\)?|[@-Z\\-_])/g;
  // biome-ignore lint/suspicious/noControlCharactersInRegex: the same
  return text.replace(escapes, "").replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/g, "");
}

/** A terminal's lines as they end up: what a carriage return wrote over is gone. */
export function settledLines(text: string): string {
  return text
    .replace(/\r\n/g, "\n")
    .split("\n")
    .map((line) => line.slice(line.replace(/\r+$/, "").lastIndexOf("\r") + 1).replace(/\r/g, ""))
    .join("\n");
}
