import type { ClubRow } from '../../tell/clubDocument.js';
import { clubDocument } from '../../tell/clubDocument.js';
import { GRADES } from '../../judge/grade.js';
import { day } from '../../series/format.js';
import { html, type Html } from './html.js';
import { listPage, type ListColumn } from './listPage.js';

const COLUMNS: readonly ListColumn<ClubRow>[] = [
  ['run', runCell, ({ creek, run }) => `${creek} ${run ?? ''}`],
  ['today', ({ today }) => today ?? '', ({ today }) => today ?? '~'],
  ['good', ({ good, problem }) => good ?? problem ?? '', ({ good }) => good ?? '~'],
  [
    'gauge',
    ({ gauge, instruction }) => html`${gauge ?? ''}${instruction !== null && html`<small>${instruction}</small>`}`,
    ({ gauge }) => gauge ?? '~',
  ],
  ['trust', ({ grade }) => grade ?? '', ({ grade }) => String(9 - GRADES.indexOf(grade as (typeof GRADES)[number]))],
  [
    'last visit',
    ({ lastVisitMs, timeZone }) => day(lastVisitMs, timeZone),
    ({ lastVisitMs }) => String(lastVisitMs ?? 0),
  ],
  ['missing', ({ missing }) => missing ?? '', ({ missing }) => missing ?? '~'],
];

/**
 * All runs of a club on one page: offline, searched, filtered and sorted in place, with a link to each creek's own page; one card a run on
 * a phone.
 * @example writeFileSync('index.html', clubPage(rows))
 */
export function clubPage(rows: readonly ClubRow[]): string {
  const { title, cautions } = clubDocument(rows);
  const grades = GRADES.filter((grade) => rows.some((row) => row.grade === grade));
  return listPage(
    { title, cautions },
    { rows, columns: COLUMNS, choice: { label: 'Trust', words: grades, of: ({ grade }) => grade ?? '' } },
  );
}

function runCell({ creek, run, page }: ClubRow): Html {
  const name = page === null ? html`<b>${run ?? creek}</b>` : html`<a href="${page}">${run ?? creek}</a>`;
  return html`${name}${run !== null && html`<small>${creek}</small>`}`;
}
