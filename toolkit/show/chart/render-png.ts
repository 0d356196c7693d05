import { createRequire } from "node:module";
import { dirname, join } from "node:path";

/** Faces that hold what we write: µ, superscripts, the real minus, the charges of ions. */
const FACES = ["DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DejaVuSans-Oblique.ttf"];
const FAMILY = "DejaVu Sans";
/** Two pixels of the picture for one of the drawing. */
const ZOOM = 2;

/**
 * A drawing as a PNG picture at twice its size, base64, for places that show no SVG. Letters are drawn with typefaces
 * that come with the package, so the picture is the same on every machine. The drawing must bring its own ground, and
 * colours as they are: rules with custom properties are not understood.
 */
export async function renderPng(svg: string): Promise<string> {
  const { Resvg } = await import("@resvg/resvg-js");
  const folder = dirname(createRequire(import.meta.url).resolve("dejavu-fonts-ttf/package.json"));
  const picture = new Resvg(svg, {
    fitTo: { mode: "zoom", value: ZOOM },
    font: {
      fontFiles: FACES.map((face) => join(folder, "ttf", face)),
      loadSystemFonts: false,
      defaultFontFamily: FAMILY,
      sansSerifFamily: FAMILY,
    },
  });
  return picture.render().asPng().toString("base64");
}
