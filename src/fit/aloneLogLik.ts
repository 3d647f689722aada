import type { LevelFit } from './types.js';

/**
 * Log-likelihood of each visit by each draw (D × n) as leaving visits out weighs it: draws that were carried to errors which last weigh as
 * they did before.
 */
export function aloneLogLik({ draws, lasting }: Pick<LevelFit, 'draws' | 'lasting'>): Float64Array {
  return lasting?.aloneLogLik ?? draws.visitLogLik;
}
