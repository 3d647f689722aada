import { CAUTIONS } from '../series/cautions.js';
import { counted, plain } from '../series/format.js';
import { list, rows, says, type Document } from './document.js';
import { number, table, text, truth } from './table.js';

/** What a screening says of one run and gauge. */
export interface ScreenRow {
  readonly run: string;
  readonly runName: string;
  readonly gauge: string;
  readonly gaugeName: string;
  /** Between put-in and gauge as the crow flies; null where a place is not given. */
  readonly distanceKm: number | null;
  readonly looks: number;
  readonly rho: number | null;
  readonly lagHours: number | null;
  readonly p: number;
  /** Adjusted over the gauges of the run (Benjamini and Hochberg). */
  readonly q: number;
  readonly passed: boolean;
  /** Of the full fit; null where the first look said enough. */
  readonly grade: string | null;
  readonly skill: number | null;
  readonly skillI80: readonly [number | null, number | null];
  readonly instruction: string | null;
  readonly recommended: boolean;
}

/** A run that could not be screened. */
export interface ScreenProblem {
  readonly run: string;
  readonly problem: string;
}

export interface ScreenResult {
  readonly kind: 'screen';
  readonly rows: readonly ScreenRow[];
  readonly problems: readonly ScreenProblem[];
  readonly rate: number;
}

/** Every pair, tidy. */
export function screenTable(all: readonly ScreenRow[]) {
  return table(
    'screen',
    'Runs and gauges',
    all,
  )({
    run: text('run', 'Id of the run.', ({ run }: ScreenRow) => run, { tidyOnly: true }),
    runName: text('run', 'Name of the run.', ({ runName }) => runName),
    gauge: text('gauge', 'Id of the gauge.', ({ gauge }) => gauge, { tidyOnly: true }),
    gaugeName: text('gauge', 'Name of the gauge.', ({ gaugeName }) => gaugeName),
    distanceKm: number('number', ['km', 'As the crow flies, km.'], ({ distanceKm }) => distanceKm, { digits: () => 0 }),
    looks: number('count', ['looks', 'Visits of one spell of weather together.'], ({ looks }) => looks),
    rho: number('number', ['ρ', 'Rank correlation without the season, at the best lag.'], ({ rho }) => rho, {
      digits: () => 2,
    }),
    lagHours: number('hours', ['lag', 'Best lag of the first look, h.'], ({ lagHours }) => lagHours),
    p: number('number', ['p', 'Odds of such a correlation by chance, whole looks shuffled.'], ({ p }) => p, {
      tidyOnly: true,
    }),
    q: number('number', ['q', 'The same, adjusted for the number of gauges tried.'], ({ q }) => q),
    passed: truth('passed', 'Whether the first look lets it pass.', ({ passed }) => passed),
    grade: text('grade', 'Of the full fit.', ({ grade }) => grade),
    skill: {
      as: 'share' as const,
      label: 'skill',
      means: 'Guesswork taken away on floods left out.',
      of: ({ skill }: ScreenRow) => skill,
      i80: ({ skillI80 }: ScreenRow) => skillI80,
    },
    instruction: text('how to read', 'What to read, when.', ({ instruction }) => instruction, { tidyOnly: true }),
    recommended: truth('recommended', 'The gauge to begin with.', ({ recommended }) => recommended),
  });
}

/** What came of a screening: for each run the gauge to begin with, or that none tells of it. */
export function screenDocument({ rows: all, problems, rate }: ScreenResult): Document {
  const runs = [...new Map(all.map(({ run, runName }) => [run, runName]))];
  const told = all.filter(({ recommended }) => recommended);
  const silent = runs.filter(([run]) => !told.some((row) => row.run === run)).map(([, name]) => name);
  return {
    kind: 'document',
    subject: 'screen',
    title: `${counted(runs.length, 'run')}, ${counted(all.length, 'pair')}: ${counted(told.length, 'run')} with a gauge to begin with`,
    cautions: CAUTIONS,
    body: [
      ...rows(screenTable(told)),
      ...says(
        silent.length === 0
          ? undefined
          : `No gauge tells of ${counted(silent.length, 'run')}: ${silent.slice(0, SOME).join(', ')}` +
              `${silent.length > SOME ? ' and others' : ''}.`,
      ),
      ...list(problems.map(({ run, problem }) => `${run}: ${problem}`)),
      ...says(
        'A first look by ranks, and full fits of what passes it. Asked for was that of those that pass ' +
          `${plain(100 * rate, 1)} % are there by chance. ` +
          'No level stands here: make the chart of a run before anybody plans with it.',
        'note',
      ),
    ],
  };
}

const SOME = 10;
