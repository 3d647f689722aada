import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { oddsAt } from '../../src/chart/figures/oddsAt.js';
import { wholePercents } from '../../src/chart/figures/wholePercents.js';
import type { CreekChart } from '../../src/chart/types.js';
import { CAUTIONS } from '../../src/series/cautions.js';
import { figures } from '../../src/series/format.js';
import { blocksHtml, type Frame } from '../../src/show/page/blocks.js';
import { html, trustedHtml } from '../../src/show/page/html.js';
import { parseReading } from '../../src/show/page/parseReading.js';
import { chartPage } from '../../src/show/page/renderPage.js';
import type { PageData } from '../../src/show/page/startPage.js';
import { swatchCss } from '../../src/show/page/swatch.js';
import { answersOf } from '../../src/tell/answersOf.js';
import type { Block } from '../../src/tell/document.js';
import { table } from '../../src/tell/table.js';
import { fixtureChart, fixtureGauge } from './fixtureChart.js';
import { fixtureGauges } from './fixtureGauges.js';
import { fixtureTrust } from './fixtureTrust.js';

const chart = fixtureChart();
const trust = fixtureTrust(chart);
const gauges = fixtureGauges();
const page = chartPage(chart, { trust, gauges });

function bodyOf(text: string): string {
  return text.slice(text.indexOf('<body>'), text.indexOf('<script type="application/json"'));
}

function dataOf(text: string): PageData {
  return JSON.parse(/<script type="application\/json" id="page-data">([\s\S]*?)<\/script>/.exec(text)![1]!) as PageData;
}

/** What a reader sees, spaces folded. */
const wordsOf = (markup: string) =>
  markup
    .replace(/<svg[\s\S]*?<\/svg>/g, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replace(/\s+/g, ' ');

const idsOf = (markup: string) => [...markup.matchAll(/ id="([^"]*)"/g)].map(([, id]) => id!);

describe('html', () => {
  it('escapes texts, keeps pieces, drops false and undefined, leaves the indentation of the source out', () => {
    const piece = html`<b>${'<i>'}</b>`;
    expect(html`<p title="${'"'}">${[piece, ' & ', 3, false, undefined]}</p>`.html).toBe(
      '<p title="&quot;"><b>&lt;i&gt;</b> &amp; 3</p>',
    );
    expect(html`<p>${'a\n  b'}</p>`.html).toBe('<p>a\n  b</p>');
    expect(html`${trustedHtml('<hr>')}`.html).toBe('<hr>');
  });
});

describe('parseReading', () => {
  it.each([
    ['312', 312],
    [' 8.5 ', 8.5],
    ['8,5', 8.5],
    ['1 200', 1200],
    ['1\u202f200.5', 1200.5],
    ['.5', 0.5],
    ['-0.3', -0.3],
    ['\u22120.3', -0.3],
    ['12,', 12],
    ['0', 0],
  ])('reads %j', (text, value) => {
    expect(parseReading(text)).toEqual({ value });
  });

  it.each(['1,200', '-12,345', '1,200,300'])('asks back whether %j has thousands or decimals', (text) => {
    expect(parseReading(text)).toEqual({ problem: 'comma-unclear' });
  });

  it.each(['abc', '1.2.3', '1e3', '--1', '1,2,3', '.', '-', '12 cfs', '١٢'])('refuses %j', (text) => {
    expect(parseReading(text)).toEqual({ problem: 'not-a-number' });
  });

  it.each(['', '  ', '\u00a0'])('knows nothing typed from a typing error: %j', (text) => {
    expect(parseReading(text)).toEqual({ problem: 'empty' });
  });
});

describe('swatchCss', () => {
  it('has one rule a class and size, each with a pattern but the driest', () => {
    const rules = swatchCss([5, 3, 5]).split('\n');
    expect(rules).toHaveLength(8);
    expect(rules.filter((rule) => !rule.includes('background-image'))).toHaveLength(2);
  });
});

describe('the writer of blocks', () => {
  const frame: Frame = { card: ({ run }) => html`<p class="card">${run.name}</p>`, under: 2, prefix: 'x-' };
  const written = (blocks: readonly Block[]) =>
    blocksHtml(blocks, frame)
      .html.replace(/\s*\n\s*/g, '')
      .replace(/\s+>/g, '>')
      .replace(/"\s+class/g, '" class');

  it('gives each block its element', () => {
    expect(
      written([
        { kind: 'heading', level: 3, text: 'Gauge', id: 'g' },
        { kind: 'says', text: 'Go & look.' },
        { kind: 'says', text: 'None.', tone: 'refusal' },
        { kind: 'list', items: ['a', '<b>'] },
        { kind: 'fold', id: 'f', title: 'More', body: [{ kind: 'says', text: 'in' }] },
      ]),
    ).toBe(
      '<h3 id="x-g">Gauge</h3><p>Go &amp; look.</p><p class="refusal">None.</p>' +
        '<ul><li>a</li><li>&lt;b&gt;</li></ul><details id="x-f"><summary>More</summary><p>in</p></details>',
    );
  });

  it('lets no heading skip a step down, whatever the levels', () => {
    const level = fc.constantFrom(2, 3, 4);
    fc.assert(
      fc.property(fc.array(level, { minLength: 1 }), (levels) => {
        const text = written(levels.map((one) => ({ kind: 'heading', level: one as 2, text: 'x' })));
        const made = [2, ...[...text.matchAll(/<h(\d)>/g)].map(([, n]) => Number(n))];
        return made.every((n, i) => i === 0 || (n >= 2 && n <= made[i - 1]! + 1));
      }),
    );
  });

  it('writes a table with heads and row heads, numbers to the right, and says so where it is empty', () => {
    const columns = {
      name: { of: (row: { name: string }) => row.name, label: 'gauge', means: 'Name.' },
      skill: { of: () => 0.5, as: 'share', label: 'skill', means: 'Skill.' },
    } as const;
    const made = (rows: readonly { name: string }[]) => ({
      kind: 'table' as const,
      table: table('t', 'Gauges <1>', rows)(columns),
    });
    expect(written([made([{ name: 'A & B' }])])).toBe(
      '<div class="scroll" tabindex="0" role="group" aria-label="Gauges &lt;1&gt;"><table class="plain"><caption>Gauges &lt;1&gt;</caption>' +
        '<thead><tr><th scope="col">gauge</th><th scope="col" class="n">skill</th></tr></thead>' +
        '<tbody><tr><th scope="row">A &amp; B</th><td class="n">50 %</td></tr></tbody></table></div>',
    );
    expect(written([made([])])).toBe('<p class="note">Gauges &lt;1&gt;: none.</p>');
  });
});

describe('chartPage', () => {
  it('is one small file whose one script runs by its hash, and fetches nothing', () => {
    expect(Buffer.byteLength(page)).toBeLessThan(1_500_000);
    const scripts = [...page.matchAll(/<script>([\s\S]*?)<\/script>/g)].map(([, script]) => script!);
    const hash = createHash('sha256').update(scripts[0]!).digest('base64');
    expect(scripts).toHaveLength(1);
    expect(/http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(page)![1]).toBe(
      `default-src 'none'; script-src 'sha256-${hash}'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'`,
    );
    expect(page.indexOf('Content-Security-Policy')).toBeLessThan(page.indexOf('<link'));
    expect(
      page.match(/<(script|img|link|iframe|object|embed|form)\b[^>]*(src|href|action)="(?!data:,")[^"]*"/g),
    ).toBeNull();
    expect(page).not.toMatch(/@import|url\((?!"data:|#)/);
  });

  it('makes the same bytes twice', () => {
    expect(chartPage(chart, { trust, gauges })).toBe(page);
  });

  it('has the first caution above everything, all of them in full before the first table', () => {
    const body = bodyOf(page);
    const first = body.slice(0, body.indexOf('<table'));
    expect(body.indexOf(CAUTIONS[0]!)).toBeLessThan(body.indexOf('<h1'));
    for (const caution of CAUTIONS) expect(first.split(caution).length - 1, caution).toBe(2);
  });

  it('answers first: gauge, instruction, good range, grade, then the question, the levels, the odds', () => {
    const body = bodyOf(page);
    const { level, gauge } = chart.runs[0]!.gauges[0]!;
    const order = [
      gauge.name,
      level!.howToRead,
      '<p class="good">',
      '<p class="grade">',
      'data-calc="c0"',
      '<table class="staff">',
      'class="fig"',
    ];
    const places = order.map((piece) => body.indexOf(piece, body.indexOf('<main')));
    expect(places.every((place) => place > 0)).toBe(true);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
  });

  it('links every run, and has no id twice', () => {
    const ids = idsOf(page);
    for (const { id } of chart.runs) {
      expect(page).toContain(`href="#run-${id}"`);
      expect(ids).toContain(`run-${id}`);
    }
    expect(ids.filter((id, i) => ids.indexOf(id) !== i)).toEqual([]);
  });

  it('shows the numbers of the answer and no others: edges, ends of classes, odds at each edge that sum to 100', () => {
    const words = wordsOf(bodyOf(page));
    for (const { reading } of answersOf({ chart, trust })) {
      if (reading === null) continue;
      for (const { value, odds } of reading.edges) {
        expect(words).toContain(figures(value, 6));
        const there = wholePercents(odds).flatMap((percent, k) =>
          percent > 0 ? [`${reading.classes[k]!.word} ${percent} %`] : [],
        );
        expect(words).toContain(there.join(', '));
      }
    }
  });

  it('carries for its calculators the odds of the chart, unrounded, on a thousand readings', () => {
    const { c0 } = dataOf(page);
    const { odds, seen } = chart.runs[0]!.gauges[0]!.level!;
    for (let i = 0; i <= 1000; i++) {
      const value = Math.min(seen.to, seen.from * (seen.to / seen.from) ** (i / 1000));
      expect(oddsAt(c0!, value)).toEqual(oddsAt(odds, value));
    }
  });

  it('has a card and a calculator of every gauge that may be planned with, of no other, and a picture of each that is recommended', () => {
    const usable = chart.runs.flatMap((run) =>
      run.gauges.filter(({ trust: { grade } }) => grade !== 'too thin' && grade !== 'no usable relation'),
    );
    expect(Object.keys(dataOf(page))).toHaveLength(usable.length);
    for (const kind of ['data-calc="', '<table class="staff">'])
      expect(bodyOf(page).split(kind).length - 1, kind).toBe(usable.length);
    const read = chart.runs.filter(({ recommended }) => recommended !== null);
    expect(bodyOf(page).split('data-mark="').length - 1).toBe(read.length);
  });

  it('refuses in words where no gauge gives a level', () => {
    const bare = chartPage(fixtureChart({ grade: 'no usable relation' }));
    expect(bare).toContain('class="refusal"');
    const none: CreekChart = { ...chart, runs: [{ ...chart.runs[0]!, gauges: [], recommended: null }] };
    expect(wordsOf(chartPage(none))).toContain('No gauge could be read for this run');
    expect(chartPage({ ...chart, runs: [] })).toContain('</html>');
  });

  it('folds what stands behind: trust, gauges, the keeper’s notes, edges and records, the source', () => {
    const titles = [...page.matchAll(/<summary>\s*<h2>(.*?)<\/h2>/g)].map(([, title]) => title);
    expect(titles).toEqual([
      'How far to trust it',
      'Which gauge to read',
      'For whoever keeps the log',
      'Every edge, the records and their visits',
      'Where this comes from',
    ]);
    expect(page).not.toContain('<details open');
    for (const { sha256 } of chart.provenance.files) expect(page).toContain(sha256);
    expect([...chartPage(chart).matchAll(/<summary>\s*<h2>/g)]).toHaveLength(3);
  });

  it('stays small enough to be sent, with many runs and gauges', () => {
    const [run] = chart.runs;
    const many = Array.from({ length: 4 }, (_, r) => ({
      ...run!,
      id: `run${r}`,
      recommended: 'g0',
      gauges: Array.from({ length: 6 }, (_, g) => ({
        ...run!.gauges[0]!,
        gauge: { ...run!.gauges[0]!.gauge, id: `g${g}` },
      })),
    }));
    const creek = { ...chart, runs: many };
    expect(Buffer.byteLength(chartPage(creek, { trust: fixtureTrust(creek) }))).toBeLessThan(3_000_000);
  });

  it('says every picture in words', () => {
    const drawn = [...page.matchAll(/<div class="fig" role="img" aria-label="([^"]*)"/g)];
    expect(drawn.length).toBeGreaterThan(8);
    for (const [, alt] of drawn) expect(alt!.length).toBeGreaterThan(40);
    // Wide and narrow.
    expect(page.split('<svg xmlns').length - 1).toBe(2 * drawn.length);
  });

  it.each([2, 9])('draws %i classes', (K) => {
    const classes = Array.from({ length: K }, (_, k) => `class ${k}`);
    const cuts = Array.from({ length: K - 1 }, (_, k) => 100 * 1.4 ** k);
    const body = bodyOf(chartPage(fixtureChart({ classes, cuts })));
    expect(body.split('data-class=').length - 1).toBe(
      K * Object.keys(dataOf(chartPage(fixtureChart({ classes, cuts })))).length,
    );
  });

  it('writes hostile names as text only, and makes no id, class or attribute of them', () => {
    const evil = '"><img src=x onerror=alert(1)><!--</script><script>alert(2)</script>';
    const hostile = fixtureChart({ creekName: evil, runName: evil, gaugeName: evil, observer: evil, note: evil });
    const told = chartPage(hostile, { trust: fixtureTrust(hostile), gauges });
    expect(told).not.toMatch(/<img|<script>alert|onerror=alert\(1\)>/);
    expect(told.split('&lt;img src=x').length).toBeGreaterThan(20);
    expect(told.match(/<!--/g)).toBeNull();
    const outside = bodyOf(told).replace(/aria-label="[^"]*"/g, '');
    expect(outside.match(/\s(?:id|class|for|name|data-[a-z]+|href)="[^"]*(?:img|onerror|alert)[^"]*"/)).toBeNull();
  });

  it('asks for the numbers of the instruction: a change, a mean, each part of a derived gauge', () => {
    const names = (text: string) => [...text.matchAll(/<input[^>]*\sname="([^"]*)"/g)].map(([, name]) => name);
    const one = (change: object, gaugeChange: object = {}) => {
      const { run, gauge } = fixtureGauge();
      const level = { ...gauge.level!, reading: { ...gauge.level!.reading, ...change } };
      const changed = { ...gauge, gauge: { ...gauge.gauge, ...gaugeChange }, level };
      return names(chartPage({ ...chart, runs: [{ ...run, gauges: [changed], recommended: gauge.gauge.id }] }));
    };
    expect(one({ storageHours: 0 })).toEqual(['now0']);
    expect(one({ storageHours: -8 })).toEqual(['now0', 'before0']);
    expect(one({ storageHours: 6 })).toEqual(['now0', 'mean0']);
    const part = { gauge: 'a', name: 'A', unit: 'ft3/s', hoursEarlier: 2, factor: 1 };
    const parts = { combine: 'sum', of: [part, { ...part, gauge: 'b', factor: -1 }] };
    expect(one({ storageHours: -8 }, { parts })).toEqual(['now0', 'before0', 'now1', 'before1']);
  });
});
