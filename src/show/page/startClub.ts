/**
 * The script of a club's page: a search field, a choice of grade, and rows in the order of the column that is pressed. Its source goes into
 * the page as it is.
 */
export function startClub(): void {
  const rows = [...document.querySelectorAll<HTMLElement>('[data-row]')];
  const search = document.querySelector<HTMLInputElement>('#search')!;
  const grade = document.querySelector<HTMLSelectElement>('#grade')!;
  const count = document.querySelector<HTMLElement>('#count')!;
  const show = () => {
    const words = search.value.toLowerCase().split(/\s+/);
    let shown = 0;
    for (const row of rows) {
      const text = row.textContent.toLowerCase();
      const fits =
        words.every((word) => text.includes(word)) && (grade.value === '' || row.dataset['grade'] === grade.value);
      row.hidden = !fits;
      if (fits) shown++;
    }
    count.textContent = `${shown} of ${rows.length}`;
  };
  search.addEventListener('input', show);
  grade.addEventListener('change', show);
  show();
  for (const button of document.querySelectorAll<HTMLButtonElement>('[data-sort]'))
    button.addEventListener('click', () => {
      const head = button.closest('th')!;
      const up = head.getAttribute('aria-sort') !== 'ascending';
      for (const other of document.querySelectorAll('[aria-sort]')) other.removeAttribute('aria-sort');
      head.setAttribute('aria-sort', up ? 'ascending' : 'descending');
      const column = Number(button.dataset['sort']);
      const key = (row: HTMLElement) => (row.children[column] as HTMLElement).dataset['key']!;
      const sign = up ? 1 : -1;
      rows.sort((a, b) => sign * key(a).localeCompare(key(b), undefined, { numeric: true }));
      rows[0]?.parentElement!.append(...rows);
    });
}
