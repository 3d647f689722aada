import { html, type Html } from './html.js';
import { pageStyles } from './pageStyles.js';
import { startClub } from './startClub.js';
import { heed, scriptOf, wholePage } from './wholePage.js';

/** A column of a list: its head, its cell, and what it is sorted by. */
export type ListColumn<Row> = readonly [head: string, cell: (row: Row) => Html | string, key: (row: Row) => string];

/**
 * Rows on one page: offline, searched, filtered and sorted in place; one card a row on a phone.
 * @param of.choice what the rows can be narrowed to. @param of.first the text of the search field to begin with.
 * @param of.notes said below.
 */
export function listPage<Row>(
  { title, cautions }: { readonly title: string; readonly cautions: readonly string[] },
  {
    rows,
    columns,
    choice,
    notes = [],
  }: {
    readonly rows: readonly Row[];
    readonly columns: readonly ListColumn<Row>[];
    readonly choice: { readonly label: string; readonly words: readonly string[]; readonly of: (row: Row) => string };
    readonly notes?: readonly string[];
  },
): string {
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
            >${choice.label}
            <select id="grade">
              <option value="">any</option>
              ${choice.words.map((word) => html`<option>${word}</option>`)}
            </select></label
          >
          <output id="count"></output>
        </form>
        <table class="runs-table">
          <thead>
            <tr>
              ${columns.map(([head], c) => html`<th scope="col"><button type="button" data-sort="${c}">${head}</button></th>`)}
            </tr>
          </thead>
          <tbody>
            ${rows.map(
              (row) =>
                html`<tr data-row data-grade="${choice.of(row)}">
                  ${columns.map(([head, cell, key]) => html`<td data-head="${head}" data-key="${key(row)}">${cell(row)}</td>`)}
                </tr>`,
            )}
          </tbody>
        </table>
        ${notes.map((note) => html`<p class="note">${note}</p>`)}
      </main>`,
  });
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
