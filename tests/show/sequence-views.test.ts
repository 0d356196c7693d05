// How standard addition, internal standard, bracketing and drift show themselves; invented readings.
import { describe, expect, it } from "vitest";
import { studyStandardAddition } from "../../toolkit/calibration/addition/addition-study.js";
import { bracketSamples } from "../../toolkit/calibration/sequence/bracketing.js";
import { internalStandard } from "../../toolkit/calibration/sequence/internal-standard.js";
import { responseDrift } from "../../toolkit/calibration/sequence/response-drift.js";
import { DISPLAY, type DisplayBundle } from "../../toolkit/display.js";
import { registerAllViews } from "../../toolkit/show/register-views.js";
import { measured } from "../../toolkit/uncertainty/measured.js";

registerAllViews();

const addition = studyStandardAddition(
  [0.512, 0.748, 0.991, 1.226].map((response, added) => ({ added, response })),
  { ion: "chloride", externalSlope: measured(0.24446, "1", { u: 0.0009 }) },
);
const checks = [1.2, 1.22, 1.25, 1.29, 1.36].map((response, i) => ({
  position: 1 + 10 * i,
  response,
  concentration: 5,
  label: `check ${i + 1}`,
}));
const drift = responseDrift(checks, { ion: "sulfate", limitPercent: 5 });
const bracketing = bracketSamples(
  { checks, samples: [3, 15, 37].map((position, i) => ({ position, response: 0.5, label: `<i>well ${i}` })) },
  { relativeRepeatability: 0.01, ion: "sulfate", limitPercent: 5 },
);
const volumes = [1, 1.03, 0.96, 1.04, 0.98, 1.01];
const internal = internalStandard(
  {
    standards: [1, 1, 5, 5, 10, 10].map((concentration, i) => ({
      concentration,
      response: 0.245 * concentration * volumes[i] * (1 + 0.002 * (i % 2)),
      internal: 0.9 * volumes[i],
    })),
    samples: [0.93, 1.01, 1.2].map((v, i) => ({
      response: 0.98 * v,
      internal: 0.9 * v,
      label: `ditch ${i + 1}`,
    })),
  },
  { ion: "chloride", internalStandard: "dichloroacetate", weighting: "1/x^2" },
);

const words = (bundle: DisplayBundle): string =>
  String(bundle["text/html"])
    .replace(/<(style|script|svg).*?<\/\1>/gs, "")
    .replace(/<[^>]*>/g, " ")
    .replace(/[\s\u202f\u00a0]+/g, " ");

describe("studies of a run show themselves in words and as a picture", () => {
  it.each([
    ["a standard addition", addition, ["2.14", "Fieller", "Matrix effect", "▲ look"]],
    ["a drift", drift, ["drifted beyond the limit", "EPA 300.0", "p = 0.0"]],
    ["a bracketing", bracketing, ["&lt;i&gt;well 0", "check 1, check 2", "beyond 5 %"]],
    [
      "an internal standard",
      internal,
      ["earns its place", "ditch 3", "▲ recovery out of limits", "EPA 300.1"],
    ],
  ] as const)("%s", async (_, study, said) => {
    const bundle = await study[DISPLAY]();
    for (const part of said) expect(words(bundle)).toContain(part);
    expect(bundle["text/plain"]).toBe(String(study));
    expect(String(bundle["image/svg+xml"])).toMatch(/^<svg/);
    expect(String(bundle["text/html"])).not.toContain("<i>well");
    expect(String(bundle["image/png"]).length).toBeGreaterThan(1000);
  });
});
