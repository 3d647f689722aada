import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

/** The plot library as text, to be written into the page: it must work without a network. */
export function plotlySource(): string {
  return readFileSync(createRequire(import.meta.url).resolve('plotly.js-cartesian-dist-min'), 'utf8');
}
