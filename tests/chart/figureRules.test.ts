import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { NARROW_PX, WIDE_PX, type Figure, type PlotlyObject } from '../../src/chart/figures/figure.js';
import { classPalette } from '../../src/chart/palette.js';
import { FIGURE_CASES, firstScale } from './figureCases.js';
import {
  axesOf,
  carriesWords,
  classMark,
  COLOURS,
  isColour,
  lightness,
  linesOf,
  notesOf,
  numbersDrawn,
  numbersIn,
  placesOf,
  walk,
  type Axis,
} from './readFigure.js';

const FOLDER = new URL('../../src/chart/figures/', import.meta.url);
const drawnCases = FIGURE_CASES.map((one) => ({ ...one, figure: one.draw('plain'), long: one.draw('long') }));

const WIDTHS = [
  { width: 'wide', px: WIDE_PX },
  { width: 'narrow', px: NARROW_PX },
] as const;
const layoutOf = (figure: Figure, width: 'wide' | 'narrow'): PlotlyObject =>
  width === 'wide' ? figure.layout : { ...figure.layout, ...figure.narrow };

/** Units of the axes; a count, a clock and a correlation say what they are. */
const UNIT = /%|ft³\/s|m³\/s|\bh\b|\bm\b|\bcm\b|\bvisits\b|local time|\bUTC\b|−1 to 1/;
/** Finite numbers, texts, truth and null in plain objects and lists; a key without a value is none. */
function isPlain(value: unknown): boolean {
  if (typeof value === 'number') return Number.isFinite(value);
  if (typeof value === 'object' && value !== null)
    return [Object.prototype, Array.prototype].includes(Object.getPrototypeOf(value) as object & unknown[]);
  return value === null || ['string', 'boolean', 'undefined'].includes(typeof value);
}

/** CIE L* that neighbouring ones of five classes differ by at least, and lines that are alike but for their colour. */
const CLASS_STEP = 10;
const LINE_STEP = 15;
/** The planned width of a character is on the generous side; a label may run over by so much. */
const SLACK_PX = 3;

it('every figure function of the folder is held to the rules, and none twice', async () => {
  const files = readdirSync(FOLDER).filter((name) => name.endsWith('Figure.ts'));
  const exported = await Promise.all(
    files.map(async (name) => Object.keys((await import(new URL(name, FOLDER).href)) as object)),
  );
  const functions = exported.flat().filter((name) => name.endsWith('Figure'));
  expect(FIGURE_CASES.map(({ name }) => name).toSorted()).toEqual(functions.toSorted());
});

describe.each(drawnCases)('$name', ({ name, figure, long, draw, certain, legend, gaugeAxis }) => {
  it('is plain data that JSON gives back', () => {
    const { data, layout, narrow } = figure;
    const strange = [...walk({ data, layout, narrow }, name)].flatMap(([path, value]) =>
      isPlain(value) ? [] : [`${path} is ${String(value)}`],
    );
    expect(strange, `${name} holds what JSON cannot carry`).toEqual([]);
    expect(JSON.parse(JSON.stringify(figure)), `${name} does not come back from JSON`).toEqual(figure);
  });

  it('says on both axes what they show, in which unit, unless an axis carries words', () => {
    for (const { width } of WIDTHS) {
      const axes = axesOf(layoutOf(figure, width));
      expect(axes.map(([key]) => key)).toEqual(expect.arrayContaining(['xaxis', 'yaxis']));
      for (const [key, axis] of axes) {
        if (carriesWords(axis)) continue;
        expect(axis.title?.text ?? '', `${name}, ${width}: ${key} has no title with a unit`).toMatch(UNIT);
      }
    }
  });

  it('takes every colour from the palette', () => {
    const { data, layout, narrow } = figure;
    const others = [...walk({ data, layout, narrow }, name)].flatMap(([path, value]) =>
      isColour(value) && !COLOURS.has(value) ? [`${path}: ${value}`] : [],
    );
    expect(others, `${name} has colours that palette.ts has not`).toEqual([]);
  });

  it('labels what it draws directly, or says why not', () => {
    for (const { width } of WIDTHS) {
      const shown = layoutOf(figure, width)['showlegend'] === true;
      expect(shown, `${name}, ${width}: a legend needs a reason in the table, and a reason a legend`).toBe(
        legend !== undefined,
      );
    }
  });

  it('draws the uncertainty: wider intervals are another picture', () => {
    const same =
      JSON.stringify([draw('wider').data, draw('wider').layout]) === JSON.stringify([figure.data, figure.layout]);
    expect(same, `${name} ${certain === undefined ? 'looks the same' : 'changes, so it is not certain'}`).toBe(
      certain !== undefined,
    );
  });

  it('can be read in grey: classes by tone and mark, lines by more than their hue', () => {
    for (const [path, part] of walk(figure.data, name)) {
      const drawn = classMark(part);
      if (drawn === undefined || path.endsWith('.line') || path.endsWith('pattern')) continue;
      const { look, pattern, symbol } = drawn;
      expect(pattern ?? symbol, `${path}: a class is told by its colour alone`).toBe(
        pattern === undefined ? look.symbol.plotly : look.pattern.shape,
      );
    }
    const lines = linesOf(figure);
    for (const [i, one] of lines.entries())
      for (const other of lines.slice(i + 1)) {
        if (one.colour === other.colour || one.shape !== other.shape) continue;
        const apart = Math.abs(lightness(one.colour) - lightness(other.colour));
        expect(apart, `${name}: two lines differ in hue only (${one.colour}, ${other.colour})`).toBeGreaterThan(
          LINE_STEP,
        );
      }
  });

  it('says itself in words: numbers of its data, a full stop, short enough to be listened to', () => {
    const { alt, title } = figure;
    expect(alt, `${name}: alt text ends without a full stop`).toMatch(/\.$/);
    for (const { length } of [alt, long.alt])
      expect(length, `${name}: alt text of ${length} characters`).toBeLessThan(1000);
    expect(`${title} ${alt}`, name).not.toMatch(/NaN|undefined|Infinity|null|\[object/);
    const inData = numbersDrawn(figure);
    // Those of "80 %" and "95 %" name an interval.
    const said = [...new Set(numbersIn(alt))].filter((text) => text !== '80' && text !== '95');
    const known = said.filter((text) => inData.has(text));
    expect(known.length, `${name}: of ${said.join(', ')} only ${known.join(', ')} stand in the data`).toBeGreaterThan(
      1,
    );
  });

  it('has a narrow form that leaves half of a phone to the plot', () => {
    for (const one of [figure, long]) {
      const { margin } = layoutOf(one, 'narrow') as { margin: { l: number; r: number } };
      expect(margin.l + margin.r, `${name}: margins on a phone`).toBeLessThanOrEqual(390 / 2);
    }
  });

  it.each(WIDTHS)('has no text longer than its place, whatever the names, $width', ({ width, px }) => {
    for (const { text, from, to, room } of [figure, long].flatMap((one) => placesOf(layoutOf(one, width), px))) {
      const inside = from >= room[0] - SLACK_PX && to <= room[1] + SLACK_PX;
      const where = [from, to, ...room].map((at) => Math.round(at));
      expect(inside, `${name}: "${text}" from ${where[0]} to ${where[1]} px has ${where[2]} to ${where[3]}`).toBe(true);
    }
  });

  it.each(WIDTHS)('lays no label on another, whatever the names, $width', ({ width, px }) => {
    for (const notes of [figure, long].map((one) => notesOf(layoutOf(one, width), px)))
      for (const [i, one] of notes.entries())
        for (const other of notes.slice(i + 1)) {
          const wide = Math.min(one.right, other.right) - Math.max(one.left, other.left);
          const high = Math.min(one.high, other.high) - Math.max(one.low, other.low);
          expect(Math.min(wide, high), `${name}: "${one.text}" and "${other.text}"`).toBeLessThanOrEqual(SLACK_PX);
        }
  });

  it('shows its gauge on the scale of all figures of that gauge', () => {
    const { range, type, title } = figure.layout['xaxis'] as Axis;
    const own = title?.text?.includes('Ombrel River at Low Bridge') ?? false;
    expect(own, `${name}: the table says ${gaugeAxis ? 'that' : 'not that'} its x axis is the gauge`).toBe(
      gaugeAxis === true,
    );
    const ends = [firstScale.from, firstScale.to].map((end) => (type === 'log' ? Math.log10(end) : end));
    if (own) expect(range, `${name}: another range of the same gauge`).toEqual(ends);
  });
});

it('no figure has a colour of its own', () => {
  for (const file of readdirSync(FOLDER)) {
    const [literal] = /'#[0-9a-f]{3,8}'|rgba?\(\d/i.exec(readFileSync(new URL(file, FOLDER), 'utf8')) ?? [];
    expect(literal, `${file}: ${literal} belongs into palette.ts`).toBe(undefined);
  }
});

it('neighbouring classes differ in tone, pattern and symbol', () => {
  const looks = classPalette(5);
  for (const [k, look] of looks.slice(1).entries()) {
    const below = looks[k]!;
    expect(lightness(below.fill) - lightness(look.fill), `tone of class ${k + 1}`).toBeGreaterThan(CLASS_STEP);
    expect(look.pattern.shape, `pattern of class ${k + 1}`).not.toBe(below.pattern.shape);
    expect(look.symbol.plotly, `symbol of class ${k + 1}`).not.toBe(below.symbol.plotly);
  }
});
