import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { doubtHtml } from '../../src/show/page/details.js';
import { html, trustedHtml } from '../../src/show/page/html.js';
import { tracePacker, unpackTrace } from '../../src/show/page/packTraces.js';
import { parseReading } from '../../src/show/page/parseReading.js';
import { sentence } from '../../src/show/page/sentence.js';
import { swatchCss } from '../../src/show/page/swatch.js';
import { fixtureChart } from './fixtureChart.js';

describe('html', () => {
  it('escapes texts, keeps pieces, drops false and undefined', () => {
    const piece = html`<b title="${'"x"'}">${'<i>'}</b>`;
    expect(piece.html).toBe('<b title="&quot;x&quot;">&lt;i&gt;</b>');
    expect(html`<p>${piece}${false}${undefined}${0}${['a', html`<br />`]}</p>`.html).toBe(
      '<p><b title="&quot;x&quot;">&lt;i&gt;</b>0a<br /></p>',
    );
  });
  it('leaves the indentation of the source out, and that of a text in', () => {
    const lines = ['<p>', '    ', '  </p>'];
    const parts = Object.assign([`${lines[0]!}\n${lines[1]!}`, `\n${lines[2]!}`], { raw: [] });
    expect(html(parts as unknown as TemplateStringsArray, 'a\n  b').html).toBe('<p>\na\n  b\n</p>');
  });
  it('lets markup of this program through', () => {
    expect(html`${trustedHtml('<hr>')}`.html).toBe('<hr>');
  });
});

describe('parseReading', () => {
  it.each([
    ['312', 312],
    [' 8.5 ', 8.5],
    ['8,5', 8.5],
    ['1 200', 1200],
    ['1\u202f200', 1200],
    ['.5', 0.5],
    [',25', 0.25],
    ['-0.3', -0.3],
    ['\u22120,3', -0.3],
    ['12,3456', 12.3456],
    ['7.', 7],
  ])('reads %j as %d', (text, value) => {
    expect(parseReading(text)).toEqual({ value });
  });
  it.each(['1,200', '-12,345', '1,200,300'])(
    'asks back what the comma of %j means: a thousandfold of water',
    (text) => {
      expect(parseReading(text)).toEqual({ problem: 'comma-unclear' });
    },
  );
  it.each(['abc', '1.2.3', '1e3', '--1', '1,2,3', '.', '-', '12 cfs', '١٢'])(
    'does not guess a number from %j',
    (text) => {
      expect(parseReading(text)).toEqual({ problem: 'not-a-number' });
    },
  );
  it.each(['', '  ', '\u00a0'])('knows nothing typed from a typing error: %j', (text) => {
    expect(parseReading(text)).toEqual({ problem: 'empty' });
  });
});

describe('tracePacker', () => {
  it('writes equal columns and lines once and gives every trace back', () => {
    const { pack, tables } = tracePacker();
    const x = Array.from({ length: 20 }, (_, i) => i / 7);
    const traces = [
      { type: 'scatter', x, y: x.map((v) => (v > 1 ? null : v)), text: ['a<br>b', 'b', ''] },
      { type: 'scatter', x: [...x], y: [1, 2], marker: { size: 4 }, name: 'a' },
    ];
    const packed = traces.map(pack);
    expect(tables().columns).toHaveLength(2);
    expect(tables().lines).toEqual(['a', 'b', '']);
    const back = JSON.parse(JSON.stringify({ packed, tables: tables() })) as {
      packed: typeof packed;
      tables: ReturnType<typeof tables>;
    };
    expect(back.packed.map((trace) => unpackTrace(trace, back.tables))).toEqual(traces);
  });
  it('keeps moments to the minute', () => {
    const { pack, tables } = tracePacker();
    // Uneven, back and forth, as the outline of a band has them.
    const there = Array.from({ length: 400 }, (_, i) => 1.9e12 + i * 907_000 + 17_000 * (i % 7));
    const moments = [...there, ...[...there].reverse()];
    const back = unpackTrace(pack({ x: moments }), tables());
    expect(tables().columns[0]).toHaveProperty('minutes');
    (back.x as number[]).forEach((ms, i) => expect(Math.abs(ms - moments[i]!)).toBeLessThanOrEqual(30_000));
  });
  it('gives any columns and texts back', () => {
    const text = fc.string().filter((s) => !s.includes('<br>'));
    fc.assert(
      fc.property(
        fc.array(fc.option(fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e6, max: 1e6 }))),
        fc.array(text),
        (y, texts) => {
          const { pack, tables } = tracePacker();
          expect(unpackTrace(pack({ y, text: texts, mode: 'lines' }), tables())).toEqual({
            y,
            text: texts,
            mode: 'lines',
          });
        },
      ),
    );
  });
});

describe('sentence', () => {
  it.each([
    ['the creek leads', 'The creek leads.'],
    ['Done.', 'Done.'],
    [' what? ', 'What?'],
    ['', '.'],
  ])('writes %j as %j', (text, said) => {
    expect(sentence(text)).toBe(said);
  });
});

describe('features read as a number', () => {
  const [run] = fixtureChart().runs;
  const level = run!.gauges[0]!.level!;
  const [rating] = level.ratings;
  const rowOf = (of: typeof rating) =>
    doubtHtml(run!, { ...level, ratings: [of!] })
      .html.replace(/<[^>]*>/g, ' ')
      .replace(/\s+/g, ' ');

  it('show one power law as one, and two with the place where they meet', () => {
    expect(rowOf(rating)).toContain('power law 12 (9 to 15) 2.1 (1.8 to 2.4)');
    const upper = { from: 310, exponent: { median: 0.8, i80: [0.6, 1] as const, i95: [0.5, 1.2] as const } };
    const two = rowOf({ ...rating!, upper });
    expect(two).toContain('two power laws, break at a gauge reading of 310 12 (9 to 15)');
    expect(two).toMatch(/2\.10? \(1\.80? to 2\.40?\) below the break, 0\.80? \(0\.60? to 1(\.0+)?\) above/);
  });
});

describe('swatchCss', () => {
  it('has one rule a class and size, each with a pattern but the driest', () => {
    const css = swatchCss([5, 3, 5]);
    expect(css.match(/^\.lv-/gm)).toHaveLength(8);
    expect(css.match(/background-image:url\("data:image\/svg\+xml,/g)).toHaveLength(6);
    expect(css).not.toMatch(/url\("(?!data:)/);
  });
});
