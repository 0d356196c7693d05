import type { DisplayBundle } from "../../display.js";
import type { PharmacopoeialNoise } from "../../signal/pharmacopoeial-noise.js";
import { html } from "../text/markup.js";
import { fixed, quantity, significant, trimmed } from "../text/numbers.js";
import { htmlBlock } from "./html-block.js";

/** h with the window and the sampling rate, without which it means nothing. */
export function pharmacopoeialNoiseView(noise: PharmacopoeialNoise): DisplayBundle {
  const { h, rms, from, to, samples, interval, unit } = noise;
  const size = `h = ${quantity(significant(h, 3), unit)}`;
  const window = `${fixed(from, 2)} to ${quantity(fixed(to, 2), "min")}, ${fixed(samples, 0)} samples at ${quantity(trimmed(1 / (60 * interval), 3), "Hz")}`;
  const ratio = `It is ${trimmed(h / rms, 2)} times the standard deviation about a straight line, ${quantity(significant(rms, 3), unit)}; drift counts in h, and the factor grows with the number of samples.`;
  return {
    "text/plain": `${size} (${window})\n${ratio}`,
    "text/html": htmlBlock(html`<p><strong>${size}</strong>, highest − lowest of the blank, ${window}.</p>
<p>${ratio}</p>
<p class="note">Signal to noise by this definition: 2H/h, H the height of the peak.</p>`),
  };
}
