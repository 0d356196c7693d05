import type { PublishedWater } from "../published/published-row.js";
import { waterAnalysis } from "../published/water-analysis.js";
import type { NamedWater } from "./named-water.js";

/** True for a row of a published table: it keeps apart what was found below a limit. */
export function isPublishedWater(water: unknown): water is PublishedWater {
  return typeof water === "object" && water !== null && "below" in water && "cells" in water;
}

/**
 * Published waters as a diagram takes them: ions found below a limit at that limit, hydrogencarbonate from dissolved
 * inorganic carbon where it was not titrated. The columns of the table can be grouped by. Samples that share a name are
 * told apart by their date, or else by their line.
 */
export function publishedAsNamed(waters: readonly PublishedWater[]): readonly NamedWater[] {
  const names = namesOf(waters);
  return waters.map((water, i) => {
    const { below, station, date, cells } = water;
    const { concentrations, options } = waterAnalysis(water);
    const bounds = Object.fromEntries(Object.entries(below).map(([ion, limit]) => [ion, { below: limit }]));
    const place = { ...(station === undefined ? {} : { station }), ...(date === undefined ? {} : { date }) };
    return {
      ...columnsOf(cells),
      ...place,
      ...options,
      name: names[i],
      concentrations: { ...concentrations, ...bounds },
    };
  });
}

/** What a water itself says is read from its description, never from a column that happens to be called so. */
const OWN: Readonly<Record<keyof NamedWater, true>> = {
  name: true,
  concentrations: true,
  alkalinity: true,
  pH: true,
  temperature: true,
  carbonDioxide: true,
  group: true,
};

function columnsOf(cells: Readonly<Record<string, string>>): Readonly<Record<string, string>> {
  return Object.fromEntries(Object.entries(cells).filter(([column]) => !Object.hasOwn(OWN, column)));
}

function namesOf(waters: readonly PublishedWater[]): readonly string[] {
  const distinct = (names: readonly string[]): boolean => new Set(names).size === names.length;
  const samples = waters.map(({ sample }) => sample);
  if (distinct(samples)) return samples;
  const dated = waters.map(({ sample, date }) => (date === undefined ? sample : `${sample}, ${date}`));
  if (distinct(dated)) return dated;
  return waters.map(({ sample, line }) => `${sample}, line ${line}`);
}
