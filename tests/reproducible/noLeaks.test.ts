import { readdirSync, readFileSync } from 'node:fs';
import { join, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

const src = fileURLToPath(new URL('../../src', import.meta.url));

/** Where the outside may be asked all the same, and why no output can tell. */
const ALLOWED: Readonly<Record<string, readonly string[]>> = {
  // Who may clear up after whom: decides about temporary folders only.
  'show/write/processMark.ts': ['Date.now', 'randomUUID', 'hostname'],
  'show/write/folderLock.ts': ['performance.now', 'randomUUID'],
  // Where a Chromium is looked up.
  'show/card/cardFolder.ts': ['process.env'],
  // Colour and width of the terminal.
  'show/cli/cliIo.ts': ['process.env'],
  // Today is what these are asked about.
  'show/cli/nowCommand.ts': ['Date.now'],
  'show/cli/clubCommand.ts': ['Date.now'],
  'show/cli/fetchCommand.ts': ['Date.now'],
  // How long a service asks to wait, and keys that creek.json leaves to the environment.
  'show/fetch/fetchText.ts': ['Date.now'],
  'show/fetch/fetchFolder.ts': ['process.env'],
  'show/log/addLog.ts': ['Date.now'],
  // In the reader's own browser: the time that somebody looked, and rows in the reader's order.
  'show/page/startWay.ts': [
    'getDate',
    'getFullYear',
    'getHours',
    'getMinutes',
    'getMonth',
    'getTimezoneOffset',
    'localeCompare',
    'new Date()',
  ],
  'show/page/startClub.ts': ['localeCompare'],
  // Where kept results lie, which are those that would be made anew, and which of them nobody has asked for.
  'show/write/resultCache.ts': ['homedir', 'new Date()', 'process.env'],
};

const SUSPECT =
  /\bDate\b|Intl|Locale|localeCompare|[rR]andom|performance|process\.|Temporal\.Now|\.get[A-Z]|hrtime|hostname|userInfo|homedir|networkInterfaces|to(?:Date|Time)String/;

/** What of a source file could make the same input give other bytes: clock, chance, locale, zone, machine. */
function leaksOf(text: string): readonly string[] {
  // Most files name nothing of the kind, and reading a file as code takes its time.
  if (!SUSPECT.test(text)) return [];
  const source = ts.createSourceFile('file.ts', text, ts.ScriptTarget.ES2022, true);
  const found: string[] = [];
  const visit = (node: ts.Node) => {
    if (ts.isNewExpression(node)) {
      const made = node.expression.getText(source);
      const count = node.arguments?.length ?? 0;
      if (made === 'Date' && count === 0) found.push('new Date()');
      // Year, month, …: taken in the machine's own zone.
      if (made === 'Date' && count > 1) found.push('new Date(y, m)');
      if (made.startsWith('Intl.') && (count === 0 || !isText(node.arguments![0]!))) found.push(`new ${made}()`);
    }
    if (ts.isCallExpression(node)) {
      const called = node.expression;
      const name = ts.isPropertyAccessExpression(called) ? called.name.text : called.getText(source);
      if (/^toLocale|^localeCompare$/.test(name)) found.push(name);
      if (/^get(?:FullYear|Month|Date|Day|Hours|Minutes|Seconds|TimezoneOffset)$/.test(name)) found.push(name);
      if (/^(?:toDateString|toTimeString)$/.test(name)) found.push(name);
      if (/^(?:randomUUID|randomBytes|randomInt|getRandomValues|hrtime)$/.test(name)) found.push(name);
      if (/^(?:hostname|userInfo|homedir|networkInterfaces)$/.test(name)) found.push(name);
      if (name === 'Date') found.push('Date()');
    }
    if (ts.isPropertyAccessExpression(node)) {
      const whole = node.getText(source);
      if (/^(?:Date\.now|Math\.random|performance\.now|process\.(?:env|cwd|hrtime|uptime|title))$/.test(whole))
        found.push(whole);
      if (/^Temporal\.Now/.test(whole)) found.push('Temporal.Now');
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return [...new Set(found)].sort();
}

const isText = (node: ts.Node) => ts.isStringLiteralLike(node);

describe('the sources', () => {
  const files = readdirSync(src, { recursive: true, encoding: 'utf8' })
    .map((name) => name.split(sep).join('/'))
    .filter((name) => name.endsWith('.ts'));

  it('ask no clock, chance, locale, zone or machine, but where no output can tell', () => {
    const leaks = files.flatMap((file) =>
      leaksOf(readFileSync(join(src, file), 'utf8'))
        .filter((leak) => !(ALLOWED[file] ?? []).includes(leak))
        .map((leak) => `${file}: ${leak}`),
    );
    expect(leaks).toEqual([]);
  });

  it('use every exception that is made', () => {
    const unused = Object.entries(ALLOWED).flatMap(([file, leaks]) => {
      const present = files.includes(file) ? leaksOf(readFileSync(join(src, file), 'utf8')) : [];
      return leaks.filter((leak) => !present.includes(leak)).map((leak) => `${file}: ${leak}`);
    });
    expect(unused).toEqual([]);
  });
});

describe('the rule', () => {
  it.each([
    ['const a = new Date();', ['new Date()']],
    ['const a = new Date(2031, 1);', ['new Date(y, m)']],
    ['const a = Date.now();', ['Date.now']],
    ['const a = Date();', ['Date()']],
    ['const a = Math.random();', ['Math.random']],
    ['const a = (5).toLocaleString();', ['toLocaleString']],
    ["const a = 'a'.localeCompare('b');", ['localeCompare']],
    ['const a = new Intl.NumberFormat().format(5);', ['new Intl.NumberFormat()']],
    ['const a = new Intl.DateTimeFormat(undefined, { timeZone });', ['new Intl.DateTimeFormat()']],
    ['const a = new Date(0).getHours();', ['getHours']],
    ['const a = process.cwd();', ['process.cwd']],
    ['const a = Temporal.Now.instant();', ['Temporal.Now']],
    ["const a = new Intl.DateTimeFormat('en', { timeZone });", []],
    ['const a = new Date(timeMs).toISOString();', []],
    ['const a = new Date(Date.UTC(2031, 1)).getUTCHours();', []],
  ])('judges %s', (text, leaks) => {
    expect(leaksOf(text)).toEqual(leaks);
  });
});
