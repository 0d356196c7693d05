import { describe, expect, it } from "vitest";
import { DISPLAY } from "../../toolkit/display.js";
import { preparationPage } from "../../toolkit/show/page/preparation-page.js";
import { registerAllViews } from "../../toolkit/show/register-views.js";
import { pipette, volumetricFlask } from "../../toolkit/standards/glassware.js";
import { prepareStandards } from "../../toolkit/standards/prepare-standards.js";

registerAllViews();

/** Invented; a name that would break a page. */
const preparation = prepareStandards(
  {
    stocks: [
      {
        name: "<b>nitrate</b>",
        salt: "NaNO3",
        mass: 1370.8,
        massUncertainty: { u: 0.15 },
        purity: 0.9975,
        flask: volumetricFlask(1000),
      },
    ],
    solutions: [
      {
        name: "level 1",
        flask: volumetricFlask(100),
        aliquots: [{ from: "<b>nitrate</b>", pipette: pipette(10), times: 2 }],
        matrix: { acid: "hydrochloric acid", molarity: 0.01 },
      },
    ],
  },
  { ions: ["nitrate"], title: "Nitrate & nothing else" },
);

const words = (markup: string): string =>
  markup
    .replace(/<(style|script).*?<\/\1>/gs, "")
    .replace(/<[^>]*>/g, " ")
    .replace(/[\s\u202f\u00a0]+/g, " ");

describe("the preparation card", () => {
  it("says step, flask, volume, content, u, caution and who signs, in a notebook and on a page", async () => {
    const bundle = await preparation[DISPLAY]();
    for (const markup of [String(bundle["text/html"]), preparationPage(preparation)]) {
      const text = words(markup);
      for (const part of [
        "1000 mL flask",
        "Weigh 1370.8 mg",
        "2 × 10 mL",
        "10 mL pipette",
        "Hydrochloric acid to 0.01 mol/L",
        "acid into water",
        "oxidiser",
        "199.5",
        "as N",
        "prepared by",
        "checked by",
      ]) {
        expect(text).toContain(part);
      }
      const { u } = preparation.concentration("level 1", "nitrate");
      expect(text).toContain(`u ${u.toPrecision(2)}`);
      expect(markup).not.toContain("<b>nitrate");
      expect(markup).toContain("Nitrate &amp; nothing else");
    }
    expect(bundle["text/plain"]).toBe(String(preparation));
  });

  it("asks for nothing from outside", () => {
    expect(preparationPage(preparation)).not.toMatch(/(?:src|href)="(?!data:|#)/);
  });
});
