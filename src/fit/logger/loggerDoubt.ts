import type { LoggerFit } from './types.js';

/** Below this share of the levels' changes the gauge says next to nothing of the creek, and a lag found between them is chance. */
const LEAST_EXPLAINED = 0.25;

/**
 * Where another lag and storage leaves less than 1/2.5 of what the likeliest one leaves unexplained, and explains a tenth more of all, the
 * fast changes and the levels disagree. In 24 simulated loggers whose lag and storage were found this ratio was 1 to 2.1; where they were
 * not, and for two gauges slower than their creek whose published steps drown the inflow, 3.2 to 7.5.
 */
const MOST_LEFT = 2.5;
const LEAST_GAIN = 0.1;

/** Why a logger's lag and storage should have no say in the visits' fit; null where they may. */
export type LoggerDoubt = 'explains-little' | 'levels-disagree' | null;

/** What there is to doubt about a logger's fit. */
export function loggerDoubt({
  status,
  explained,
  bestExplained,
}: Pick<LoggerFit, 'status' | 'explained' | 'bestExplained'>): LoggerDoubt {
  if (status !== 'converged') return null;
  if (!(bestExplained >= LEAST_EXPLAINED)) return 'explains-little';
  const disagree = 1 - explained > MOST_LEFT * (1 - bestExplained) && bestExplained - explained > LEAST_GAIN;
  return disagree ? 'levels-disagree' : null;
}
