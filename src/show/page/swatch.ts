import { rounded } from '../../series/format.js';
import { classPalette, UNSEEN, type ClassLook } from '../../chart/palette.js';
import { html, trustedHtml, type Html } from './html.js';

/** CSS class that carries colour and pattern of class k of K. */
export function classStyle(k: number, K: number): string {
  return `lv-${K}-${k}`;
}

/** A class's colour, pattern and symbol as a small block before its name. */
export function swatch(k: number, K: number): Html {
  return html`<span class="sw ${classStyle(k, K)}" aria-hidden="true">${symbolSvg(k, K)}</span>`;
}

/** The symbol of a class as inline SVG, the same outline as in the figures; drawn by reference to `symbolDefs`. */
export function symbolSvg(k: number, K: number): Html {
  return trustedHtml(`<svg class="sy" focusable="false"><use href="#sy-${K}-${k}"/></svg>`);
}

/** The symbols of all scales of a page, once. */
export function symbolDefs(sizes: readonly number[]): Html {
  const symbols = distinct(sizes).flatMap((K) =>
    classPalette(K).map(
      (look, k) =>
        `<symbol id="sy-${K}-${k}" viewBox="-12 -12 24 24"><polygon points="${look.symbol.points}" fill="${look.ink}"/></symbol>`,
    ),
  );
  return trustedHtml(`<svg width="0" height="0" class="defs" aria-hidden="true">${symbols.join('')}</svg>`);
}

function distinct(sizes: readonly number[]): readonly number[] {
  return [...new Set(sizes)].sort((a, b) => a - b);
}

/** Rules for every class of the scales of the given sizes: fill, ink and pattern as backgrounds, so that they print. */
export function swatchCss(sizes: readonly number[]): string {
  return distinct(sizes)
    .flatMap((K) =>
      classPalette(K).map(
        (look, k) => `.${classStyle(k, K)}{background-color:${look.fill};color:${look.ink};${patternCss(look)}}`,
      ),
    )
    .join('\n');
}

/** The pattern of a class as a small tile: SVG, because gradients do not survive every printer. */
function patternCss({ pattern, mark }: ClassLook): string {
  if (pattern.shape === '') return '';
  const n = pattern.size;
  const half = n / 2;
  // Corners are drawn too, so that slanted lines join from tile to tile.
  const rising = `M0 ${n}L${n} 0M-1 1L1 -1M${n - 1} ${n + 1}L${n + 1} ${n - 1}`;
  const falling = `M0 0L${n} ${n}M-1 ${n - 1}L1 ${n + 1}M${n - 1} -1L${n + 1} 1`;
  const across = `M0 ${half}H${n}`;
  const down = `M${half} 0V${n}`;
  const paths = { '/': rising, '\\': falling, x: rising + falling, '-': across, '|': down, '+': across + down };
  const radius = Math.sqrt((pattern.solidity * n * n) / Math.PI);
  const drawing =
    pattern.shape === '.'
      ? `<circle cx='${half}' cy='${half}' r='${rounded(radius, 2)}' fill='${mark}'/>`
      : `<path d='${paths[pattern.shape]}' stroke='${mark}' stroke-width='${rounded(pattern.solidity * n, 2)}' fill='none'/>`;
  return tileCss(n, drawing);
}

/** Hatching of what nobody has seen, as a tile. */
export function unseenCss(): string {
  const lines = `M0 8L8 0M-1 1L1 -1M7 9L9 7`;
  return `background-color:${UNSEEN.ground};${tileCss(8, `<path d='${lines}' stroke='${UNSEEN.line}' fill='none'/>`)}`;
}

function tileCss(size: number, drawing: string): string {
  const svg = `<svg xmlns='http://www.w3.org/2000/svg' width='${size}' height='${size}'>${drawing}</svg>`;
  return `background-image:url("data:image/svg+xml,${encodeURIComponent(svg).replaceAll("'", '%27')}")`;
}
