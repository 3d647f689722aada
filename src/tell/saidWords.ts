import type { CreekChart, RunChart } from '../chart/types.js';
import { counted, fixed, minute } from '../series/format.js';
import { rows, type Block } from './document.js';
import { number, table, text } from './table.js';

/** How often what was said on the day came true; empty where nothing was kept or no day of it is logged yet. */
export function saidSentence({ runs }: CreekChart): string {
  const scores = runs.flatMap(({ said }) => said ?? []);
  const sum = (of: (score: (typeof scores)[number]) => number) => scores.reduce((total, one) => total + of(one), 0);
  const days = sum((one) => one.days.length);
  if (scores.length === 0) return '';
  if (days === 0)
    return `Said on the day: ${counted(
      sum(({ kept }) => kept),
      'answer',
    )} kept, none of them logged yet.`;
  const [right, higher, foretold] = [
    sum((one) => one.right),
    sum((one) => one.higher),
    sum((one) => one.higherForetold),
  ];
  const higherThanSaid = `higher than said on ${higher} (the odds foretold ${fixed(foretold, 1)})`;
  return `Said on the day: right on ${right} of ${counted(days, 'day')}, ${higherThanSaid}.`;
}

/** Every day that was said and logged, run by run. */
export function saidBlocks({ runs, creek }: CreekChart): readonly Block[] {
  return runs.flatMap((run) => rows(saidTable(run, creek.timeZone)));
}

function saidTable({ name, classes, said }: RunChart, timeZone: string) {
  const likeliest = (odds: readonly number[]) => odds.indexOf(Math.max(...odds));
  return table(
    'said',
    `${name}: said on the day, and met`,
    said?.days ?? [],
  )({
    arrival: text('arrival', 'Time that it was said for, by the clock of the creek.', ({ arrivalMs }) =>
      minute(arrivalMs, timeZone),
    ),
    visit: text('visit', 'The visit that tells.', ({ visit }) => visit),
    said: text('said', 'The likeliest class.', ({ odds }) => classes[likeliest(odds)]!),
    odds: number('odds', ['with odds of', 'Odds of that class.'], ({ odds }) => odds[likeliest(odds)]!),
    met: text('met', 'The verdict.', ({ seen }) => classes[seen]!),
    metOdds: number('odds', ['had odds of', 'Odds that were said of what was met.'], ({ odds, seen }) => odds[seen]!),
  });
}
