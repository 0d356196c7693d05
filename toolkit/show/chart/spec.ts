/** A Vega-Lite specification as plain data; our own small type, so that no chart library is loaded for its types. */
export interface ChartSpec {
  readonly $schema: string;
  readonly [property: string]: unknown;
}

/** Version 5 of the schema: what notebook pages know how to draw. */
export const SCHEMA = "https://vega.github.io/schema/vega-lite/v5.json";

/** One layer, panel or data row of a specification. */
export type SpecPart = Readonly<Record<string, unknown>>;

/** Colours of the light ground; pages exchange them for the reader's own ground. */
export const INK = { paper: "#fdfcf8", ink: "#1b2430", soft: "#5d6875", hair: "#dcdfe2" } as const;

/** A specification on our ground: quiet axes, no legend, no frame, at most three grid lines where asked for. */
export function chartSpec(parts: SpecPart): ChartSpec {
  const font = 'system-ui, -apple-system, "Segoe UI", sans-serif';
  return {
    $schema: SCHEMA,
    background: INK.paper,
    padding: { left: 4, right: 8, top: 4, bottom: 4 },
    ...parts,
    config: {
      aria: false,
      font,
      view: { stroke: null },
      axis: {
        labelColor: INK.soft,
        titleColor: INK.soft,
        labelFontSize: 11,
        titleFontSize: 11,
        titleFontWeight: "normal",
        titlePadding: 6,
        domainColor: INK.soft,
        domainOpacity: 0.55,
        tickColor: INK.soft,
        tickOpacity: 0.55,
        tickSize: 4,
        gridColor: INK.hair,
        grid: false,
        labelOverlap: true,
      },
      text: { fontSize: 11, fill: INK.ink },
      legend: { disable: true },
    },
  };
}
