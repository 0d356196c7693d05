// Pictures for pages that refuse SVG. What they must hold is told by the PNG standard (ISO/IEC 15948: signature, header)
// and by counting pixels that are not ground; whether they are beautiful is for eyes.
import { inflateSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { renderPng } from "../../toolkit/show/chart/render-png.js";
import { literalStyle, standaloneStyle } from "../../toolkit/show/trace/trace-style.js";

const SIGNATURE = "89504e470d0a1a0a";

interface Picture {
  readonly width: number;
  readonly height: number;
  /** Distinct colours "r,g,b" with their number of pixels. */
  readonly colors: ReadonlyMap<string, number>;
}

/** Reads an eight-bit RGBA picture: chunks, inflation, and the five row filters of ISO/IEC 15948, 9.2. */
function readPng(base64: string): Picture {
  const bytes = Buffer.from(base64, "base64");
  expect(bytes.subarray(0, 8).toString("hex")).toBe(SIGNATURE);
  const parts: Buffer[] = [];
  for (let at = 8; at < bytes.length; ) {
    const length = bytes.readUInt32BE(at);
    if (bytes.toString("latin1", at + 4, at + 8) === "IDAT")
      parts.push(bytes.subarray(at + 8, at + 8 + length));
    at += length + 12;
  }
  const [width, height] = [bytes.readUInt32BE(16), bytes.readUInt32BE(20)];
  expect([bytes[24], bytes[25]]).toEqual([8, 6]);
  const raw = inflateSync(Buffer.concat(parts));
  const row = width * 4;
  const pixels = new Uint8Array(row * height);
  for (let y = 0; y < height; y += 1) {
    const filter = raw[y * (row + 1)] ?? 0;
    for (let x = 0; x < row; x += 1) {
      const left = x >= 4 ? (pixels[y * row + x - 4] ?? 0) : 0;
      const up = y > 0 ? (pixels[(y - 1) * row + x] ?? 0) : 0;
      const corner = x >= 4 && y > 0 ? (pixels[(y - 1) * row + x - 4] ?? 0) : 0;
      const guess = [0, left, up, (left + up) >> 1, paeth(left, up, corner)][filter] ?? 0;
      pixels[y * row + x] = (raw[y * (row + 1) + 1 + x] ?? 0) + guess;
    }
  }
  const colors = new Map<string, number>();
  for (let at = 0; at < pixels.length; at += 4) {
    const color = `${pixels[at]},${pixels[at + 1]},${pixels[at + 2]}`;
    colors.set(color, (colors.get(color) ?? 0) + 1);
  }
  return { width, height, colors };
}

function paeth(left: number, up: number, corner: number): number {
  const guess = left + up - corner;
  const [a, b, c] = [left, up, corner].map((each) => Math.abs(guess - each));
  return a <= b && a <= c ? left : b <= c ? up : corner;
}

const PAPER = "253,252,248";
const drawing = (inside: string, style = "") =>
  `<svg xmlns="http://www.w3.org/2000/svg" class="ib-svg" width="60" height="20" viewBox="0 0 60 20"><style>${style}</style><rect width="60" height="20" fill="#fdfcf8"/>${inside}</svg>`;
const text = (words: string) =>
  drawing(
    `<text x="4" y="14" font-size="11" font-family="system-ui, sans-serif" fill="#1b2430">${words}</text>`,
  );

/** Pixels that are not ground. */
async function inked(svg: string): Promise<number> {
  const { width, height, colors } = readPng(await renderPng(svg));
  return width * height - (colors.get(PAPER) ?? 0);
}

describe("a drawing as PNG", () => {
  it("has twice the size of the drawing, on its own ground", async () => {
    const { width, height, colors } = readPng(await renderPng(drawing("")));
    expect([width, height]).toEqual([120, 40]);
    expect([...colors]).toEqual([[PAPER, 4800]]);
  });

  it.each(["µ", "κ", "⁻", "²", "₄", "−", "±", "°", "χ", "Δ", "→", "≤", "ν"])(
    "draws %s as itself, not as the box of a missing letter",
    async (letter) => {
      const [own, missing] = await Promise.all([renderPng(text(letter)), renderPng(text("\u{10FFFD}"))]);
      expect(await inked(text(letter))).toBeGreaterThan(0);
      expect(own).not.toBe(missing);
    },
  );

  it("tells charges and the real minus from their neighbours", async () => {
    const [sulfate, bare, minus, hyphen] = await Promise.all(
      ["SO₄²⁻", "SO4", "−", "-"].map((t) => renderPng(text(t))),
    );
    expect(sulfate).not.toBe(bare);
    expect(minus).not.toBe(hyphen);
  });

  it("is the same bytes every time", async () => {
    expect(await renderPng(text("12.4 ± 0.5"))).toBe(await renderPng(text("12.4 ± 0.5")));
  });
});

describe("the style for drawers without custom properties", () => {
  it("names every colour outright", () => {
    expect(standaloneStyle()).toContain("var(--");
    expect(literalStyle()).not.toContain("var(");
    expect(literalStyle()).not.toMatch(/NaN|undefined/);
  });

  it("gives line, ion colour and text their tones", async () => {
    const box = (name: string, part: string) =>
      drawing(`<g class="ib-${name}"><path class="${part}" d="M10 2h30v16h-30z"/></g>`, literalStyle());
    const fill = readPng(await renderPng(box("blue", "ib-fill")));
    // #0072b2 at 34 % over #fdfcf8
    expect([...fill.colors.keys()].some((color) => /^16[67],20[56],22[34]$/.test(color))).toBe(true);
    expect(fill.colors.has("0,0,0")).toBe(false);
    const words = drawing('<text class="ib-label ib-blue" x="4" y="14">chloride</text>', literalStyle());
    // #00619a
    expect(readPng(await renderPng(words)).colors.has("0,97,154")).toBe(true);
  });
});
