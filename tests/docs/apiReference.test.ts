import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import { apiPages, ENTRIES } from '../../tools/apiReference.js';

const pages = apiPages();
const committed = (page: string) =>
  readFileSync(fileURLToPath(new URL(`../../docs/api/${page}`, import.meta.url)), 'utf8');

describe.each(ENTRIES)('docs/api/$page', ({ page, name }) => {
  const text = pages.get(page)!;
  const entries = text.split(/^### /m).slice(1);

  it('is what the sources say today (else: npm run api)', () => {
    expect(committed(page)).toBe(text);
  });

  it('names each export of the entry once, with a signature', () => {
    const names = entries.map((entry) => entry.slice(0, entry.indexOf('\n')));
    expect(names.length).toBeGreaterThan(20);
    expect(new Set(names).size).toBe(names.length);
    expect(text).toContain(`# \`${name}\``);
    expect(
      entries.filter((entry) => !/```typescript\n[^`]*\w+[^`]*```/.test(entry.replaceAll(/`[^`\n]+`/g, 'x'))),
    ).toEqual([]);
  });

  it('links to headings that are there', () => {
    const seen = new Map<string, number>();
    const anchors = entries.map((entry) => {
      const anchor = entry.slice(0, entry.indexOf('\n')).toLowerCase();
      const count = seen.get(anchor) ?? 0;
      seen.set(anchor, count + 1);
      return count === 0 ? anchor : `${anchor}-${count}`;
    });
    const targets = [...text.matchAll(/\]\(#([^)]+)\)/g)].map((match) => match[1]!);
    expect(targets).toEqual(anchors);
  });

  it('has examples that are code', () => {
    // A line of a doc block stands in a context that its reader knows; that it is code is what can be checked.
    const examples = [...text.matchAll(/^```js\n(.*?)\n```/gms)].map((match) => match[1]!);
    for (const example of examples) {
      const { diagnostics } = ts.transpileModule(example, { reportDiagnostics: true });
      expect(
        diagnostics?.map(({ messageText }) => ts.flattenDiagnosticMessageText(messageText, ' ')),
        example,
      ).toEqual([]);
    }
  });
});
