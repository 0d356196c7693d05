import type { StandardsPreparation } from "../../standards/types.js";
import { pageShell } from "./page-shell.js";
import { CARD_STYLE, preparationCard } from "./preparation-card.js";

/** On paper: one sheet, upright. */
const SHEET = "@page{size:A4;margin:11mm}";

/** The preparation card as one HTML text, to be printed on a sheet and taken to the bench. */
export function preparationPage(preparation: StandardsPreparation): string {
  return pageShell({
    title: preparation.title,
    opening: preparationCard(preparation),
    sections: [],
    zooms: false,
    style: `${CARD_STYLE}\nmain>*{max-width:none}\n${SHEET}`,
  });
}
