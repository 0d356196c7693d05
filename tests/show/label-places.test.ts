import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { placeLabels, textWidth } from "../../toolkit/show/trace/label-places.js";

const WIDTH = 600;
const HEIGHT = 180;
const SIZE = 11;

interface Scene {
  readonly peaks: readonly { readonly x: number; readonly y: number; readonly text: string }[];
  readonly ceiling: Float64Array;
}

/** Needles of random place and height on a flat line, each with a name. */
const scenes: fc.Arbitrary<Scene> = fc
  .array(
    fc.record({
      x: fc.integer({ min: 5, max: WIDTH - 5 }),
      y: fc.integer({ min: 0, max: HEIGHT - 5 }),
      text: fc.constantFrom("fluoride", "chloride", "hydrogencarbonate", "unknown 12", "Cl⁻"),
    }),
    { minLength: 1, maxLength: 14 },
  )
  .map((peaks) => {
    const ceiling = new Float64Array(WIDTH).fill(HEIGHT - 2);
    for (const peak of peaks) {
      for (let dx = -4; dx <= 4; dx += 1) {
        const column = peak.x + dx;
        ceiling[column] = Math.min(ceiling[column], peak.y + Math.abs(dx) * 20);
      }
    }
    return { peaks, ceiling };
  });

describe("labels of peaks", () => {
  it("never touch each other and never lie on the line", () => {
    fc.assert(
      fc.property(scenes, ({ peaks, ceiling }) => {
        const places = placeLabels(peaks, ceiling, 32, SIZE, textWidth);
        const boxes = places.map((place) => {
          const half = textWidth(peaks[place.index].text, SIZE) / 2;
          return { left: place.x - half, right: place.x + half, top: place.y - SIZE + 1, foot: place.y };
        });
        boxes.forEach((box, index) => {
          for (const other of boxes.slice(index + 1)) {
            const apart =
              box.right <= other.left ||
              other.right <= box.left ||
              box.foot <= other.top ||
              other.foot <= box.top;
            expect(apart).toBe(true);
          }
          for (
            let column = Math.max(0, Math.ceil(box.left));
            column <= Math.min(WIDTH - 1, box.right);
            column += 1
          ) {
            expect(box.foot).toBeLessThanOrEqual(ceiling[column]);
          }
        });
      }),
      { seed: 3, numRuns: 400 },
    );
  });

  it("stand straight above their peak where nothing is in the way", () => {
    const ceiling = new Float64Array(WIDTH).fill(150);
    const [place] = placeLabels([{ text: "sulfate", x: 300, y: 100 }], ceiling, 32, SIZE, textWidth);
    expect(place.x).toBe(300);
    expect(place.y).toBeGreaterThan(88);
    expect(place.far).toBe(false);
  });

  it("get a line to their peak where they had to move away", () => {
    const ceiling = new Float64Array(WIDTH).fill(150).fill(0, 290, 310);
    const wishes = [{ text: "hydrogencarbonate", x: 314, y: 140 }];
    const [place] = placeLabels(wishes, ceiling, 32, SIZE, textWidth);
    expect(place.x - textWidth("hydrogencarbonate", SIZE) / 2).toBeGreaterThanOrEqual(309);
    expect(place.far).toBe(true);
  });

  it("tell a name once where two of its peaks stand nearer than the name is wide", () => {
    const flat = new Float64Array(WIDTH).fill(HEIGHT - 2);
    const at = (...xs: readonly number[]) => xs.map((x) => ({ x, y: HEIGHT - 10, text: "system 3" }));
    const told = (xs: readonly number[]) => placeLabels(at(...xs), flat, 32, SIZE, textWidth).length;
    expect(told([300, 310])).toBe(1);
    expect(told([300, 420])).toBe(2);
  });
});
