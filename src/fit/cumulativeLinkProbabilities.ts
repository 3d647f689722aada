import { cellProbability, type LinkCode } from '../kernel/link.js';
import type { CumulativeLinkFit } from './cumulativeLink.js';

/** Covariates of one new row by name; those left out are 0. `intercept` is the group's u. */
export interface CumulativeLinkRow {
  readonly location?: Readonly<Record<string, number>>;
  readonly nominal?: Readonly<Record<string, number>>;
  readonly scale?: Readonly<Record<string, number>>;
  readonly offset?: number;
  readonly intercept?: number;
}

/**
 * Probability of each class of `fit.classes` for a new row, at the estimates; 0 for a class that was never seen.
 * @example cumulativeLinkProbabilities(fit, { location: { x: 2.5 } }) // three numbers that sum to 1
 */
export function cumulativeLinkProbabilities(fit: CumulativeLinkFit, row: CumulativeLinkRow): Float64Array {
  const code: LinkCode = fit.link === 'probit' ? 0 : 1;
  let centre = (row.offset ?? 0) + (row.intercept ?? 0);
  let spread = 0;
  const cuts = fit.thresholds.slice();
  for (const { term, part, estimate } of fit.terms) {
    if (part === 'location') centre += estimate * (row.location?.[term] ?? 0);
    else if (part === 'scale') spread += estimate * (row.scale?.[term] ?? 0);
  }
  const nominal = fit.terms.filter((t) => t.part === 'nominal');
  nominal.forEach(({ term, estimate }, q) => {
    const k = q % cuts.length;
    const name = term.slice(`${fit.classesSeen[k]}|${fit.classesSeen[k + 1]}.`.length);
    cuts[k] += estimate * (row.nominal?.[name] ?? 0);
  });
  const shrink = Math.exp(-spread);
  const out = new Float64Array(fit.classes.length);
  fit.classesSeen.forEach((name, k) => {
    const a = k === 0 ? -Infinity : (cuts[k - 1] - centre) * shrink;
    const b = k === cuts.length ? Infinity : (cuts[k] - centre) * shrink;
    out[fit.classes.indexOf(name)] = cellProbability(a, b, code);
  });
  return out;
}
