import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { cardsOf } from '../../../src/show/card/cardContent.js';
import { cardHtml } from '../../../src/show/card/cardHtml.js';
import { cardSvg } from '../../../src/show/card/cardSvg.js';
import { levelsCsv } from '../../../src/show/card/levelsCsv.js';
import type { CreekChart, GaugeChart } from '../../../src/chart/types.js';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { escapeHtml } from '../../../src/show/escape.js';
import { fixtureChart } from '../fixtureChart.js';
import { handChart } from '../text/handChart.js';

const chart = fixtureChart();
const cards = cardsOf(chart);

/** The chart with every gauge of every run changed. */
function withGauges(from: CreekChart, change: (gauge: GaugeChart) => GaugeChart): CreekChart {
  return { ...from, runs: from.runs.map((run) => ({ ...run, gauges: run.gauges.map(change) })) };
}

/** Words of a picture in reading order, as far as its elements are. */
const wordsOf = (markup: string) =>
  markup
    .replace(/<(title|desc|style)>.*?<\/\1>/gs, ' ')
    .replace(/<[^>]+>/g, ' ')
    .replaceAll(/[\s•]+/g, ' ');

describe('the cards of a chart', () => {
  it('are one for each run and usable gauge, best first; none of the useless or the thin', () => {
    expect(cards.map(({ run, gauge, grade, steps }) => [run, gauge, grade, steps])).toEqual([
      ['Upper Ombrel', 'Ombrel River at Low Bridge', 'fair guide', 2],
      ['Upper Ombrel', 'Garn Brook at the mill', 'rough guide', 1],
    ]);
    expect(cardsOf(fixtureChart({ grade: 'too thin' })).map(({ gauge }) => gauge)).toEqual(['Garn Brook at the mill']);
  });

  it('say the levels in both units, the instruction, the evidence with its dates, and what it was made from', () => {
    const [card] = cardsOf(handChart());
    const rows = card!.rows.filter(({ kind }) => kind === 'class');
    expect(rows.map(({ label }) => label)).toEqual(['too high', 'high', 'good', 'low', 'too low']);
    // The edges of good as the hand-made chart has them, in either unit.
    expect([rows[2]!.value, rows[2]!.text]).toEqual(['180 to 310 ft³/s', '5.1 to 8.7 m³/s']);
    expect(card!.rows.filter(({ kind }) => kind === 'edge')).toHaveLength(4);
    expect(card!.remarks[0]).toMatch(/^good: 180 to 310 ft³\/s \(5\.1 to 8\.7 m³\/s\); /);
    expect(card!.notes[0]).toMatch(/^62 visits in 21 floods, the last on 2032-11-14\. Not seen above /);
    expect(card!.made).toBe('sightstage 0.1.0, seed 1; visits.csv abababab');
    expect(card!.cautions).toEqual(CAUTIONS);
  });

  it('say how a derived gauge is made up, in every row of the sheet too: a row is copied alone', () => {
    const recipe = 'No station shows this flow: take the flow of Weir minus that of Fork 2 hours earlier.';
    const derived = withGauges(chart, (gauge) => ({
      ...gauge,
      ...(gauge.level && { level: { ...gauge.level, howToRead: `${gauge.level.howToRead} ${recipe}` } }),
    }));
    const [card] = cardsOf(derived);
    for (const words of [wordsOf(cardHtml([card!])), wordsOf(cardSvg(card!).svg)])
      expect(words.split('No station shows').length - 1).toBe(1);
    const rows = levelsCsv(derived).split('\r\n');
    expect(rows.filter((row) => row.includes('Garn Brook')).every((row) => row.includes(recipe))).toBe(true);
  });

  it('name the gauge to read on the card of another one', () => {
    const last = cards.map(({ notes }) => notes.at(-1));
    expect(last[0]).not.toContain('gauge to read');
    expect(last[1]).toBe('The gauge to read for this run is Ombrel River at Low Bridge.');
  });

  it('say a lead and a fit that did not converge', () => {
    const late = withGauges(chart, (gauge) =>
      gauge.level === undefined
        ? gauge
        : { ...gauge, level: { ...gauge.level, leadHours: 4, status: 'separated', statusSentence: 'Apart.' } },
    );
    expect(cardsOf(late)[0]!.remarks.slice(1)).toEqual(['For deciding 4 hours before being on the water.', 'Apart.']);
  });
});

describe('the page and the drawing of a card', () => {
  const page = cardHtml(cards);
  const drawing = cardSvg(cards[0]!);

  it('both carry every caution, the reading, the edges, the grade and the dates', () => {
    const card = cards[0]!;
    const ends = card.rows.map(({ value }) => value).filter((text) => text !== '');
    expect(ends.length).toBe(5);
    for (const words of [wordsOf(page), wordsOf(drawing.svg)])
      for (const text of [...CAUTIONS, card.howToRead, card.grade, card.notes[0]!, card.made, ...ends])
        expect(words).toContain(escapeHtml(text));
  });

  it('run no script and ask for nothing', () => {
    expect(page).not.toContain('<script');
    expect(page).toContain("default-src 'none'");
    expect(page.match(/https?:/g)).toEqual(null);
    expect(drawing.svg.match(/https?:[^"]*/g)).toEqual(['http://www.w3.org/2000/svg']);
    expect(() => cardHtml([])).toThrow(new RangeError('cardHtml: there is no card to write'));
  });

  it('is the same bytes twice, with numbers only, and as tall as its texts need', () => {
    expect(cardSvg(cards[0]!)).toEqual(drawing);
    expect(drawing.svg).not.toMatch(/NaN|undefined|Infinity/);
    const many = cardsOf(
      fixtureChart({
        classes: Array.from({ length: 16 }, (_, k) => `class ${k}`),
        cuts: Array.from({ length: 15 }, (_, k) => 100 * 1.14 ** k),
      }),
    );
    // Five classes keep the shape of the sheet, a little smaller; sixteen would be too small to read and grow taller.
    expect(drawing.height).toBe(794);
    const tall = cardSvg(many[0]!);
    expect(tall.height).toBeGreaterThan(1.25 * 794);
    for (const { svg, height } of [drawing, tall]) {
      const [, left, wide, high] = /viewBox="(\S+) 0 (\S+) (\S+)"/.exec(svg)!.map(Number);
      expect(Math.abs(wide! / high! - 559 / height)).toBeLessThan(0.002);
      expect(Math.abs(left! + wide! / 2 - 559 / 2)).toBeLessThan(0.2);
      const lowest = Math.max(...[...svg.matchAll(/<text x="[^"]+" y="([^"]+)"/g)].map((match) => Number(match[1])));
      expect(lowest).toBeLessThan(high! - 16);
      expect(lowest).toBeGreaterThan(high! - 60);
    }
  });

  it('keep every line inside the frame', () => {
    const lines = [...drawing.svg.matchAll(/<text x="([^"]+)"[^>]*font-size="([^"]+)"[^>]*>(.*?)<\/text>/g)];
    expect(lines.length).toBeGreaterThan(30);
    // Half an em a character is what the common sans-serif faces need on average.
    for (const [, x, size, text] of lines)
      expect(Number(x) + wordsOf(text!).length * 0.5 * Number(size), text).toBeLessThan(559 - 12);
  });

  it('let no text of a folder become markup', () => {
    const evil = '<script>alert(1)</script>"&';
    const hostile = cardsOf(fixtureChart({ gaugeName: evil, creekName: evil, runName: evil }));
    for (const markup of [cardHtml(hostile), cardSvg(hostile[0]!).svg]) {
      expect(markup).not.toContain('<script');
      expect(markup).toContain('&lt;script&gt;');
    }
  });
});

describe('levels.csv', () => {
  const sheet = (text: string, delimiter: string): Record<string, string>[] =>
    parse(text, { bom: true, columns: true, delimiter, relaxColumnCount: true });

  it('opens as UTF-8: a byte order mark, CR LF, one row a level and unit, days as ISO, cautions below', () => {
    const text = levelsCsv(handChart());
    expect(text.startsWith('\ufeffRun,Gauge,Grade,')).toBe(true);
    expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
    const rows = sheet(text, ',');
    const levels = rows.filter(({ Run }) => Run !== 'Caution');
    expect(levels.length % 10).toBe(0);
    expect(new Set(levels.map(({ Unit }) => Unit))).toEqual(new Set(['ft³/s', 'm³/s']));
    expect(new Set(levels.map((row) => row['Last visit']))).toEqual(new Set(['2032-11-14']));
    expect(rows.slice(-CAUTIONS.length).map(({ Gauge }) => Gauge)).toEqual(CAUTIONS);
    // The upper edge of a level is the lower one of the next.
    const [low, good] = levels.filter(({ Level }) => Level === 'low' || Level === 'good');
    expect(low!['To']).toBe(good!['From']);
    expect(low!['To']).toMatch(/^\d+(\.\d+)?$/);
  });

  it('writes decimal commas between semicolons where they are wanted', () => {
    const levels = (rows: readonly Record<string, string>[]) => rows.filter(({ Run }) => Run !== 'Caution');
    const points = levels(sheet(levelsCsv(chart), ','));
    const commas = levels(sheet(levelsCsv(chart, { decimal: 'comma' }), ';'));
    expect(commas.length).toBe(points.length);
    expect(commas.map((row) => row['To']!.replace(',', '.'))).toEqual(points.map((row) => row['To']));
    expect(commas.some((row) => row['To']!.includes(','))).toBe(true);
    expect(commas.map((row) => row['How to read it'])).toEqual(points.map((row) => row['How to read it']));
  });

  it('lets no cell act as a formula, with either mark', () => {
    const hostile = fixtureChart({ gaugeName: '=HYPERLINK("x";"y")', runName: '+1;2' });
    for (const decimal of ['point', 'comma'] as const) {
      const [row] = sheet(levelsCsv(hostile, { decimal }), decimal === 'comma' ? ';' : ',');
      expect(row!['Gauge']).toBe(`'=HYPERLINK("x";"y")`);
      expect(row!['Run']).toBe(`'+1;2`);
    }
  });

  it('has no level of a gauge that nobody should plan with', () => {
    expect(levelsCsv(chart)).not.toContain('Vessin below the dam');
    expect(levelsCsv(chart)).not.toContain('Lower Ombrel');
  });
});
