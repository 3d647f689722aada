import type { PanelContent } from './pageFigures.js';
import { html, type Html } from './html.js';

/** A place where the script draws a figure; its words stand there for everybody else. */
export function picture(
  figures: PanelContent['figures'],
  id: string,
  caption: string | Html,
  { level, small = false }: { level?: string; small?: boolean } = {},
): Html | undefined {
  const figure = figures.get(id);
  if (figure === undefined) return undefined;
  return html`<figure${small && html` class="small"`}>
    <div class="plotwrap">
      <div
        class="plot"
        data-figure="${id}"
        ${level !== undefined && html`data-level="${level}"`}
        role="img"
        aria-label="${figure.alt}"
      ></div>
    </div>
    ${level !== undefined && html`<p class="cursor" data-cursor="${level}" aria-hidden="true">Point at the bands for the odds there.</p>`}
    <noscript><p>${figure.alt}</p></noscript>
    <figcaption>${caption}</figcaption>
  </figure>`;
}
