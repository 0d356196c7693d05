import type { DisplayBundle } from "../../display.js";
import type { StandardsPreparation } from "../../standards/types.js";
import { CARD_STYLE, preparationCard } from "../page/preparation-card.js";
import { html, Markup } from "../text/markup.js";
import { htmlBlock } from "./html-block.js";

/** The preparation card in a notebook. */
export function preparationView(preparation: StandardsPreparation): DisplayBundle {
  const card = html`<style>${new Markup(CARD_STYLE)}</style>${preparationCard(preparation)}`;
  return { "text/plain": String(preparation), "text/html": htmlBlock(card) };
}
