import { counted, plain, share } from '../../series/format.js';
import { loggerDoubt } from './loggerDoubt.js';
import type { LoggerFit } from './types.js';

/** Finer than a paddler's hours: a logger's interval is often narrower than half an hour. */
const hours = (h: number | null): string => (h === null ? 'unknown' : plain(h, Math.abs(h) >= 10 ? 0 : 1));

const DOUBTS = {
  none: (): string => '',
  'explains-little': (): string => ' That is too little for a lag: it has no say in that of the visits.',
  'levels-disagree': ({ bestExplained }: LoggerFit): string =>
    ` Another lag and storage would explain ${share(bestExplained)}: fast changes and levels ` +
    'disagree, so it has no say in those of the visits.',
};

/** What a logger fit came to, first what to know about it. */
export function loggerSentence(
  fit: Pick<LoggerFit, 'status' | 'rows' | 'floods' | 'gaugeName' | 'fromMs' | 'toMs'> &
    Partial<Pick<LoggerFit, 'lag' | 'storage' | 'explained' | 'bestExplained'>>,
): string {
  const days = Math.round((fit.toMs - fit.fromMs) / 86_400_000);
  switch (fit.status) {
    case 'too-few-rows':
      return `The logger and ${fit.gaugeName} share ${fit.rows} hours; 48 are needed for a lag.`;
    case 'constant-logger':
      return 'The logger never moved: there is no lag to find.';
    case 'constant-gauge':
      return `${fit.gaugeName} never moved while the logger was out: there is no lag to find.`;
    case 'converged': {
      const { lag, storage, explained } = fit as LoggerFit;
      const who = lag.median < 0 ? 'the creek leads' : `${fit.gaugeName} leads`;
      const few =
        fit.floods < 3
          ? ` It saw ${fit.floods === 1 ? 'one flood' : `${fit.floods} floods`} only: other floods may run differently.`
          : '';
      return (
        `Over ${days} days and ${counted(fit.floods, 'flood')} ${who} by ${hours(Math.abs(lag.median))} h` +
        ` (lag ${hours(lag.i80[0])} to ${hours(lag.i80[1])} h), storage ${hours(storage.median)} h` +
        ` (${hours(storage.i80[0])} to ${hours(storage.i80[1])} h); the routed gauge explains ` +
        `${share(explained)} of the level's ` +
        `changes.${few}${DOUBTS[loggerDoubt(fit as LoggerFit) ?? 'none'](fit as LoggerFit)}`
      );
    }
  }
}
