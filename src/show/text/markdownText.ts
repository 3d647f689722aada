/** One row of a Markdown table; the cells are Markdown already. */
export function tableRow(cells: readonly string[]): string {
  return `| ${cells.join(' | ')} |`;
}

/** Heading and rule of a Markdown table. @param options.right columns from this one on stand at the right (numbers); default none. */
export function headRows(
  headings: readonly string[],
  { right = headings.length }: { right?: number } = {},
): readonly string[] {
  return [tableRow(headings), tableRow(headings.map((_, i) => (i < right ? '---' : '---:')))];
}

/** Text that stays text in Markdown: every character that can begin markup, a table cell or HTML gets a backslash or an entity. */
export function md(text: string): string {
  return text
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/[\\`*_{}[\]#|~!$^]/g, '\\$&')
    .replace(/^([-+]|\d+[.)])/, (start) => (/^\d/.test(start) ? start.replace(/[.)]$/, '\\$&') : `\\${start}`))
    .replace(/@/g, '&#64;')
    .replace(/:\/\//g, '&#58;//')
    .replace(/www\./gi, 'www&#46;');
}
