/**
 * A flood left out by a refit against the same by a fit from the start, in one run: 80 visits × 4 features on a grid of 49 lags × 7 storages. Each side in a process of its own,
 * so that its peak memory is its own. `npx tsx bench/refit.ts` prints the rows alone.
 */
import { fileURLToPath } from 'node:url';
import { alignVisits } from '../src/align/alignVisits.js';
import { keepVisits } from '../src/align/keepVisits.js';
import { fitLevels } from '../src/fit/fitLevels.js';
import { refitLevels } from '../src/fit/refitLevels.js';
import { warmStarts } from '../src/fit/warmStart.js';
import { cpuSeconds, inChild, type Measured } from './inChild.js';
import { inventedCreek } from './inventedCreek.js';
import type { LimitRow } from './limits.js';

const LAGS = Array.from({ length: 49 }, (_, i) => -12 + i / 2);
const STORAGES = [-10, -5, -3, 0, 3, 5, 10];
/** Floods left out, each once. */
const FLOODS = 4;

type Side = 'refit' | 'fresh';

/** One side; its seconds are those of one flood, `check` is the mean of the middle edge over the floods in thousandths. */
function measure(side: Side): Measured & { readonly startSeconds: number } {
  const aligned = alignVisits(inventedCreek(80), { lagsHours: LAGS, storagesHours: STORAGES });
  const floods = [...new Set(aligned.flood)].slice(0, FLOODS);
  const parts = floods.map((flood) => keepVisits(aligned, (visit) => visit.flood !== flood));
  const middleOf = (edges: Float64Array, weights: Float64Array): number =>
    weights.reduce((sum, w, d) => sum + w * edges[4 * d + 1]!, 0);
  if (side === 'fresh') {
    const { seconds, result } = cpuSeconds(() =>
      parts.map((part) => {
        const { draws, features } = fitLevels(part, { seed: 1, modes: ['effective', 'one-reading'] }).effective;
        return middleOf(features[0]!.edges, new Float64Array(draws.count).fill(1 / draws.count));
      }),
    );
    return { ...told(seconds, result), startSeconds: 0 };
  }
  const fits = fitLevels(aligned, { seed: 1 });
  const start = cpuSeconds(() =>
    warmStarts(aligned, fits, {
      wanted: [
        [
          { way: 'effective', leadHours: 0, draws: 300 },
          { way: 'one-reading', leadHours: 0, draws: 300 },
        ],
      ],
      seed: 1,
    }),
  );
  const { seconds, result } = cpuSeconds(() =>
    parts.map((part) => {
      const { features, weights } = refitLevels(part, start.result[0]!).answers[0]!;
      return middleOf(features[0]!.edges, weights);
    }),
  );
  return { ...told(seconds, result), startSeconds: start.seconds };
}

function told(seconds: number, edges: readonly number[]): Measured {
  return {
    seconds: seconds / FLOODS,
    peakMb: process.resourceUsage().maxRSS / 1024,
    check: Math.round((1000 * edges.reduce((a, b) => a + b, 0)) / edges.length),
  };
}

/** Rows for the table of results. */
export function timeRefit(): readonly LimitRow[] {
  const refit = inChild('refit.ts', 'refit') as ReturnType<typeof measure>;
  const fresh = inChild('refit.ts', 'fresh');
  const figure = ({ seconds, peakMb }: Measured) => `${seconds.toFixed(2)} s, peak ${peakMb.toFixed(0)} MB`;
  return [
    [
      'one flood left out by a refit, both ways of reading, 80 visits × 4 features × 49 lags × 7 storages',
      figure(refit),
      '',
    ],
    ['the start of all refits of that log, once', `${refit.startSeconds.toFixed(2)} s`, ''],
    ['the same flood left out by a fit from the start', figure(fresh), ''],
    ['ratio refit / fit from the start', (refit.seconds / fresh.seconds).toFixed(2), 'below 0.2'],
    [
      'middle edge of the verdict by both, mean over the floods, ln units',
      `${(refit.check / 1000).toFixed(3)} and ${(fresh.check / 1000).toFixed(3)}`,
      'within 0.02',
    ],
  ];
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const side = process.argv[2] as Side | undefined;
  if (side !== undefined) console.log(JSON.stringify(measure(side)));
  else for (const row of timeRefit()) process.stdout.write(`| ${row.join(' | ')} |\n`);
}
