import { createRequire } from 'node:module';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { LoggerFit } from '../../src/fit/logger/types.js';
import type { LevelFit } from '../../src/fit/types.js';
import { CAUTIONS } from '../../src/series/cautions.js';
import { skillTable } from '../../src/tell/tables/trustTables.js';
import { tidy } from '../../src/tell/table.js';
import { blocksText } from '../../src/show/text/terminalText.js';
import { figuresOf } from '../../src/show/notebook/figuresOf.js';
import type { DisplayData } from '../../src/show/notebook/kernelDisplay.js';
import { blocksHtml } from '../../src/show/notebook/blocksHtml.js';
import { blocksOf, type Tabular } from '../../src/show/notebook/blocksOf.js';
import { frozenSample, graded } from './frozenSample.js';

const { chart, trust, gauges } = frozenSample();
const gauge = chart.runs[0]!.gauges[0]!;
const judgement = trust.runs[0]!.gauges[0]!;

/** Two draws of a fit with edges at 1, 2 and 4 m above the offset. */
const fit = {
  kind: 'level-fit',
  run: 'narrows',
  gauge: 'g',
  gaugeName: 'the staff bridge',
  mode: 'effective',
  unit: 'm',
  offset: 0.5,
  status: 'converged',
  statusSentence: 'The fit settled.',
  visits: 9,
  sightings: 12,
  floods: 4,
  features: [
    {
      id: 'verdict',
      name: 'verdict',
      classes: ['low', 'good', 'high', 'flood'],
      edges: Float64Array.from([0, Math.LN2, Math.log(4), 0, Math.LN2, Math.log(4)]),
      blur: Float64Array.of(0.1, 0.1),
      sharesMismatch: false,
    },
  ],
  observers: [],
  draws: {
    count: 2,
    lagHours: Float64Array.of(2, 3),
    storageHours: Float64Array.of(0, 0),
    mismatch: Float64Array.of(0.1, 0.2),
    observerSd: Float64Array.of(),
  },
  limbKept: false,
  diagnostics: { gridPoints: 9, gridPointsFitted: 3, effectiveDraws: 2 },
} as unknown as LevelFit;

const logger = {
  kind: 'logger-fit',
  status: 'converged',
  statusSentence: 'The gauge leads by 3 h.',
  logger: 'sawpit',
  gaugeName: 'the staff bridge',
  unit: 'm',
  rows: 840,
  floods: 6,
  effectiveRows: 41.6,
  lag: { median: 3, i80: [2.5, 3.5], i95: [2, 4] },
  storage: { median: -0.001, i80: [-1, 1], i95: [-2, 2] },
  rating: { form: 'power', exponent: 2.34 },
  explained: 0.93,
  residualSd: 0.0312,
} as unknown as LoggerFit;

const titles = (thing: Tabular) => figuresOf(thing).map(({ title }) => title);
const said = (thing: Tabular) => blocksText(blocksOf(thing), { width: 120 });
const squeezed = (text: string) => text.replace(/\s+/g, ' ');

describe('what shows itself', () => {
  it('a judgement: its own sentences, its checks, its figures', () => {
    const text = squeezed(said(judgement));
    const name = `${judgement.runName} by ${judgement.gaugeName}`;
    for (const sentence of [
      `${name}: ${judgement.grade}`,
      judgement.reasons[0]!,
      judgement.scores!.sentence,
      judgement.rules!.sentence,
      judgement.shift.sentence,
      judgement.suspects.sentence,
      ...judgement.improve,
    ])
      expect(text).toContain(sentence);
    const table = blocksOf(judgement).find((block) => block.kind === 'table')!;
    expect(table.table.rows.length).toBe(judgement.checks.length);
    expect(titles(judgement).map((title) => title.replace(`${name}: `, ''))).toEqual([
      'Skill on floods left out',
      'Stated odds against what happened',
      'Deciding earlier',
      'What a rule costs',
    ]);
  });

  it('a judgement of nothing: why, and no figure', () => {
    const nothing = { ...judgement, scores: null, rules: null, leadCurve: null, nextLook: null, improve: [] };
    expect(squeezed(said(nothing))).toContain(nothing.reasons[0]);
    expect(titles(nothing)).toEqual([]);
  });

  it('a judgement of a gauge that tells nothing: no range to go by', () => {
    expect(squeezed(said({ ...judgement, grade: 'no usable relation' }))).not.toContain(judgement.rules!.sentence);
  });

  it('a trust file: the gauges of each run, the cautions last, a skill a gauge', () => {
    const text = said(trust);
    for (const { name, gauges: own } of trust.runs) {
      expect(text).toContain(name);
      for (const { gaugeName, grade } of own) expect(squeezed(text)).toContain(`${gaugeName} ${grade}`);
    }
    expect(squeezed(text).endsWith(trust.cautions.at(-1)!)).toBe(true);
    const score = judgement.scores!.ways.find(({ way }) => way === judgement.way)!;
    expect(text).toContain(`${Math.round(100 * score.skill.againstFrequencies.value!)} %`);
    expect(titles(trust)[0]).toBe(`${trust.runs[0]!.name}: skill of each gauge`);
  });

  it('a judged creek: the answer of each run with what it was judged, and all cautions', () => {
    const both = { kind: 'judged-creek', chart, trust } as const;
    for (const caution of CAUTIONS) expect(squeezed(said(both))).toContain(caution);
    expect(blocksOf(both).filter(({ kind }) => kind === 'card').length).toBe(chart.runs.length);
    expect(titles(both)).toEqual([...titles(chart), ...titles(trust)]);
  });

  it('a ranking and the gauges of a creek: the choice, the candidates, the cautions', () => {
    const ranking = gauges.runs[0]!.ranking!;
    const text = squeezed(said(ranking));
    for (const sentence of [ranking.choice.sentence, ...ranking.cautions]) expect(text).toContain(sentence);
    expect(titles(ranking)).toEqual([`Run ${ranking.run}: Gauges by skill on floods left out`]);
    const all = squeezed(said(gauges));
    const [run] = gauges.runs;
    const told = gauges.runs.flatMap(({ loggers, staffs }) => [...loggers, ...staffs].map(({ name }) => name));
    for (const name of [run!.name, ...told]) expect(all).toContain(name);
    expect(titles(gauges)[0]).toBe(`${run!.name}: Gauges by skill on floods left out`);
    const unranked = { ...gauges, runs: [{ ...run!, ranking: null, noRanking: 'Only one gauge.' }] };
    expect(said(unranked)).toContain('Only one gauge.');
    expect(titles(unranked)).toEqual([]);
  });

  it('a fit: a glance, and its edges in the gauge’s unit', () => {
    expect(said(fit)).toContain('Fit of narrows to the staff bridge');
    const [figure] = figuresOf(fit);
    expect(figure!.title).toBe('Edges of narrows at the staff bridge');
    expect(figure!.alt).toBe(
      'edge, m: high / flood 4.50 (80 %: 4.50 to 4.50); good / high 2.50 (80 %: 2.50 to 2.50); low / good 1.50 (80 %: 1.50 to 1.50).',
    );
    expect(titles({ ...fit, draws: { ...fit.draws, count: 0 } })).toEqual([]);
  });

  it("a logger's fit: lag and storage, no minus before a zero", () => {
    const text = said(logger);
    expect(text).toContain('Logger sawpit explained by the staff bridge');
    expect(text).toMatch(/lag, h \(80 %\) +3\.0 \(2\.5 to 3\.5\)/);
    expect(text).toMatch(/storage, h \(80 %\) +0\.0 \(−1\.0 to 1\.0\)/);
    expect(text).toMatch(/curve +power law, exponent 2\.3/);
    expect(figuresOf(logger)[0]!.alt).toBe('hours: lag 3.0 (80 %: 2.5 to 3.5); storage 0.0 (80 %: −1.0 to 1.0).');
    const none = { ...logger, status: 'too-few-rows', statusSentence: 'Too few hours.' } as const;
    expect(said(none)).not.toContain('storage');
    expect(titles(none)).toEqual([]);
  });

  it('a chart and a gauge: levels, range and odds; none of a gauge without a usable relation', () => {
    expect(titles(chart)).toContain(`What ${gauge.gauge.name} reads at each class`);
    expect(titles(gauge)).toEqual([`How sure the odds of ${gauge.gauge.name} are`]);
    expect(squeezed(said(gauge))).toContain(gauge.level!.howToRead);
    const useless = graded('no usable relation').chart;
    const worst = useless.runs[0]!.gauges[0]!;
    for (const shown of [worst, useless]) expect(squeezed(said(shown))).not.toContain(worst.level!.howToRead);
    expect(titles(worst)).toEqual([]);
    expect(titles(useless)).not.toContain(`What ${worst.gauge.name} reads at each class`);
  });

  it('a tidy table as it is, a table as people read it', () => {
    const made = skillTable(trust);
    const [shown] = blocksOf(tidy(made));
    expect(shown!.kind === 'table' && Object.keys(shown.table.columns)).toEqual(Object.keys(tidy(made).columns));
    expect(blocksOf(made)).toEqual([{ kind: 'table', table: made }]);
  });

  it('a frame whose columns have the names of our own keys', () => {
    const frame = {
      columns: ['kind', 'grade', 'checks'],
      values: [['clock', 'a', 1]],
      kind: {},
      grade: {},
      checks: {},
    };
    expect(said(frame)).toMatch(/clock +a +1/);
    expect(titles(frame)).toEqual([]);
  });

  it('every kind in HTML and in text, without a hole in it and without markup of a log', () => {
    const hostile = JSON.parse(
      JSON.stringify(chart).replaceAll(gauge.gauge.name, '<img src=x onerror=1>'),
    ) as typeof chart;
    const all: readonly Tabular[] = [judgement, trust, gauges, fit, logger, chart, hostile];
    for (const thing of all) {
      expect(said(thing)).not.toMatch(/NaN|Infinity|undefined|\[object|\bnull\b/);
      expect(blocksHtml(blocksOf(thing))).not.toMatch(/<img|NaN|Infinity|undefined|\[object/);
    }
  });
});

describe('show in a kernel', () => {
  const { cache } = createRequire(import.meta.url);
  const path = '/nowhere/tslab/dist/jupyter.js';
  const sent: DisplayData[] = [];
  beforeEach(() => {
    sent.length = 0;
    vi.resetModules();
    cache[path] = { exports: { lastWriteDisplayData: (data: DisplayData) => sent.push(data) } } as never;
  });
  afterEach(() => {
    // eslint-disable-next-line @typescript-eslint/no-dynamic-delete
    delete cache[path];
  });

  it('sends the library once and before the first figure, then each figure as one bundle of all its forms', async () => {
    const { show, lagFigure } = await import('../../src/show/notebook/index.js');
    show(judgement);
    show(lagFigure(gauge));
    const library = sent.filter(({ metadata }) => metadata['sightstage'] === 'plot-library');
    expect(library.length).toBe(1);
    expect(sent.indexOf(library[0]!)).toBe(1);
    const figures = sent.slice(2);
    expect(figures.length).toBe(5);
    for (const { data } of figures) {
      expect(Object.keys(data).sort()).toEqual([
        'application/vnd.plotly.v1+json',
        'image/svg+xml',
        'text/html',
        'text/plain',
      ]);
      const plotly = data['application/vnd.plotly.v1+json'] as { data: unknown; layout: unknown };
      expect([Array.isArray(plotly.data), typeof plotly.layout]).toEqual([true, 'object']);
      expect(data['text/html']).not.toMatch(/(?:src|href)="?http/);
    }
    const ids = figures.map(({ data }) => /id="(sightstage-figure-\d+)"/.exec(data['text/html']!)![1]);
    expect(new Set(ids).size).toBe(5);
  });

  it('sends tables as HTML and text and no library with them, the cautions with a chart', async () => {
    const { show, table, cardsOf } = await import('../../src/show/notebook/index.js');
    show(table('Two', [{ a: 1, b: 'x' }]));
    show('plain');
    expect(sent.map(({ data }) => Object.keys(data))).toEqual([['text/plain', 'text/html'], ['text/plain']]);
    const [card] = cardsOf(chart);
    show(card);
    const shown = sent.at(-1)!.data;
    expect(Object.keys(shown)).toEqual(['text/plain', 'text/html', 'image/svg+xml']);
    expect(shown['text/html']).toContain(shown['image/svg+xml']);
    expect(shown['image/svg+xml']).toMatch(/^<svg [^>]*role="img"/);
    for (const text of [card!.run, card!.grade, card!.howToRead, ...CAUTIONS])
      expect(shown['text/plain']).toContain(text);
    show(gauges);
    expect(sent.some(({ data }) => CAUTIONS.every((caution) => data['text/plain'].includes(caution)))).toBe(true);
  });
});
