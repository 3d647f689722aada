import { gridProbability } from './drawPosterior.js';
import type { LevelGrid } from './levelGrid.js';

/** The likeliest point of a set at which a mode was climbed to; undefined where none has an evidence. */
export function bestClimbed(grid: LevelGrid, set: readonly number[]): number | undefined {
  const climbed = [...gridProbability(grid, set)].filter(([g]) => grid.climbed.has(g));
  return climbed.sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]?.[0];
}
