import type { ClubRow } from '../../tell/clubDocument.js';
import { clubDocument } from '../../tell/clubDocument.js';
import { GRADES } from '../../judge/grade.js';
import { day } from '../../series/format.js';
import { html, type Html } from './html.js';
import { heed, scriptOf, wholePage } from './wholePage.js';
import { pageStyles } from './pageStyles.js';
import { startClub } from './startClub.js';

/** A column of the page: its head, its cell, and what it is sorted by. */
type Column = readonly [head: string, cell: (row: ClubRow) => Html | string, key: (row: ClubRow) => string];

const COLUMNS: readonly Column[] = [
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
  return wholePage(title, {
    styles: pageStyles([]) + STYLES,
    script: scriptOf(startClub),
    body: html`${heed(cautions)}
      <header class="top"><h1>${title}</h1></header>
      <main class="club">
        <section class="cautions" aria-label="Before anyone goes">
          <ul>
            ${cautions.map((caution) => html`<li>${caution}</li>`)}
          </ul>
        </section>
        <form class="find" role="search">
          <label>Search <input id="search" type="search" autocomplete="off" /></label>
          <label
            >Trust
            <select id="grade">
              <option value="">any</option>
              ${grades.map((grade) => html`<option>${grade}</option>`)}
            </select></label
          >
          <output id="count"></output>
        </form>
        <table class="runs-table">
          <thead>
            <tr>
              ${COLUMNS.map(([head], c) => html`<th scope="col"><button type="button" data-sort="${c}">${head}</button></th>`)}
            </tr>
          </thead>
          <tbody>
            ${rows.map(rowHtml)}
          </tbody>
        </table>
      </main>`,
  });
}

function rowHtml(row: ClubRow): Html {
  return html`<tr data-row data-grade="${row.grade ?? ''}">
    ${COLUMNS.map(([head, cell, key]) => html`<td data-head="${head}" data-key="${key(row)}">${cell(row)}</td>`)}
  </tr>`;
}

function runCell({ creek, run, page }: ClubRow): Html {
  const name = page === null ? html`<b>${run ?? creek}</b>` : html`<a href="${page}">${run ?? creek}</a>`;
  return html`${name}${run !== null && html`<small>${creek}</small>`}`;
}

const STYLES = `
.club{max-width:76rem}
.find{display:flex;flex-wrap:wrap;gap:.6rem 1.2rem;align-items:end;margin:1rem 0}
.find input,.find select{font:inherit;color:inherit;background:var(--paper)}
.find input,.find select{border:1px solid var(--soft);border-radius:4px;padding:.45rem .5rem;min-height:2.75rem}
.runs-table{border-collapse:collapse;width:100%;background:var(--paper);overflow-wrap:normal;word-break:normal}
.runs-table th,.runs-table td:nth-child(n+5):nth-child(-n+6){white-space:nowrap}
.runs-table td:nth-child(2){min-width:7rem}
.runs-table th,.runs-table td{text-align:left;vertical-align:top;padding:.5rem .6rem;border-bottom:1px solid var(--rule)}
.runs-table button{font:inherit;font-weight:600;color:inherit;background:none;border:0}
.runs-table button{padding:.2rem 0;min-height:2rem;cursor:pointer;text-align:left}
.runs-table th[aria-sort=ascending] button::after{content:" ↑"}
.runs-table th[aria-sort=descending] button::after{content:" ↓"}
.runs-table small{display:block;color:var(--soft)}
@media (max-width:46rem){
.runs-table{overflow-wrap:anywhere}
.runs-table td:nth-child(n){white-space:normal;min-width:0}
.runs-table thead{display:none}
.runs-table tr{display:block;padding:.6rem 0;border-bottom:2px solid var(--rule)}
.runs-table td{display:grid;grid-template-columns:5.5rem 1fr;border:0;padding:.2rem .6rem}
.runs-table td small{grid-column:2}
.runs-table td:empty{display:none}
.runs-table td::before{content:attr(data-head);color:var(--soft);grid-row:1 / span 2}
}
@media print{.find,.runs-table button::after{display:none}}`;
