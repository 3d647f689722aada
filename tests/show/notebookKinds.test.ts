import { createRequire } from 'node:module';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { LoggerFit } from '../../src/fit/logger/types.js';
import type { LevelFit } from '../../src/fit/types.js';
import { CAUTIONS } from '../../src/series/cautions.js';
import { skillTable } from '../../src/show/frames/trust/index.js';
import { figuresOf } from '../../src/show/notebook/figuresOf.js';
import type { DisplayData } from '../../src/show/notebook/kernelDisplay.js';
import { tableHtml, tableText, type Table } from '../../src/show/notebook/table.js';
import { tablesOf, type Tabular } from '../../src/show/notebook/tablesOf.js';
import { fixtureChart } from './fixtureChart.js';
import { fixtureGauges } from './fixtureGauges.js';
import { fixtureTrust } from './fixtureTrust.js';

const chart = fixtureChart();
const gauge = chart.runs[0]!.gauges[0]!;
const trust = fixtureTrust(chart);
const judgement = trust.runs[0]!.gauges[0]!;
const gauges = fixtureGauges();

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

const captions = (thing: Tabular) => tablesOf(thing).map(({ caption }) => caption);
const titles = (thing: Tabular) => figuresOf(thing).map(({ title }) => title);
const cell = (shown: Table, row: string, column = 1) => shown.rows.find(([first]) => first === row)?.[column];

describe('what shows itself', () => {
  it('a judgement: its own sentences, its checks, its figures', () => {
    const [said, checks] = tablesOf(judgement) as readonly [Table, Table];
    const name = `${judgement.runName} by ${judgement.gaugeName}`;
    expect([said.caption, checks.caption]).toEqual([
      `${name}: ${judgement.grade}`,
      `How far to trust it, ${name}: ${judgement.grade}`,
    ]);
    expect(cell(said, 'why')).toBe(judgement.reasons[0]);
    expect(cell(said, 'how often wrong')).toBe(judgement.scores!.sentence);
    expect(cell(said, 'a rule')).toBe(judgement.rules!.sentence);
    expect(cell(said, 'did it move')).toBe(judgement.shift.sentence);
    expect(cell(said, 'visits that look wrong')).toBe(judgement.suspects.sentence);
    expect(cell(said, 'what would improve it')).toBe(judgement.improve[0]);
    expect(checks.rows.length).toBe(judgement.checks.length);
    expect(titles(judgement).map((title) => title.replace(`${name}: `, ''))).toEqual([
      'Skill on floods left out',
      'Stated odds against what happened',
      'Deciding earlier',
      'What a rule costs',
    ]);
  });

  it('a judgement of nothing: why, and no figure', () => {
    const nothing = { ...judgement, scores: null, rules: null, leadCurve: null, nextLook: null, improve: [] };
    expect(tablesOf(nothing)[0]!.rows.map(([matter]) => matter)).toEqual([
      'why',
      ...nothing.reasons.slice(1).map(() => ''),
      'did it move',
      'visits that look wrong',
    ]);
    expect(titles(nothing)).toEqual([]);
  });

  it('a trust file: the gauges of each run, the cautions last, a skill a gauge', () => {
    const shown = tablesOf(trust);
    expect(shown.map(({ caption }) => caption)).toEqual([
      ...trust.runs.map(({ name }) => `${name}: how far to trust each gauge`),
      'Before anyone goes',
    ]);
    expect(shown.at(-1)!.rows.map(([caution]) => caution)).toEqual(trust.cautions);
    const score = judgement.scores!.ways.find(({ way }) => way === judgement.way)!;
    expect(cell(shown[0]!, judgement.gaugeName, 3)).toBe(Math.round(100 * score.skill.againstFrequencies.value!));
    expect(titles(trust)[0]).toBe(`${trust.runs[0]!.name}: skill of each gauge`);
  });

  it('a judged creek: the chart and the trust, the cautions once', () => {
    const both = { kind: 'judged-creek', chart, trust } as const;
    expect(captions(both)).toEqual([...chart.runs.map(({ name }) => name), ...captions(trust)]);
    expect(titles(both)).toEqual([...titles(chart), ...titles(trust)]);
  });

  it('a ranking: best first, confirming and aside apart, the choice in the heading, the cautions', () => {
    const ranking = gauges.runs[0]!.ranking!;
    const [best, confirming] = tablesOf(ranking) as readonly [Table, Table];
    expect(best.caption).toContain(ranking.choice.sentence);
    expect(best.rows.map(([name]) => name)).toEqual(ranking.warning.map(({ name }) => name));
    expect(confirming.caption).toBe(`Run ${ranking.run}: gauges that only confirm afterwards`);
    expect(captions(ranking).slice(-2)).toEqual([`Run ${ranking.run}: gauges that stand aside`, 'Before anyone goes']);
    expect(titles(ranking)).toEqual([`Run ${ranking.run}: Gauges by skill on floods left out`]);
  });

  it("a creek's gauges: ranking, combined gauge, loggers, lags and staffs of each run", () => {
    const [run] = gauges.runs;
    const found = captions(gauges);
    expect(found[0]!.startsWith(`${run!.name}: gauges read`)).toBe(true);
    for (const start of [
      `${run!.name}: ${run!.combined!.name}`,
      `Logger: ${run!.loggers[0]!.name}`,
      `${run!.name}: the lag in depth`,
      `Staff: ${run!.staffs[0]!.name}`,
    ])
      expect(found.filter((caption) => caption.startsWith(start)).length).toBe(1);
    const edges = tablesOf(gauges).find(({ caption }) => caption.startsWith(`${run!.name}: ${run!.combined!.name}`))!;
    expect(edges.caption).toContain(
      `${run!.combined!.howToRead} Visits have met means from 60.0 to 900 ft³/s (1.70 to 25.4 m³/s): not seen above and below. ${run!.combined!.caution} (* no visit on one side`,
    );
    // The uppermost edge, 640 by its median, is rounded to the safer side and stands on one side only.
    expect(edges.rows.map((row) => row.slice(0, 2))).toEqual([
      ['too low / low', '140 (122 to 161)'],
      ['low / good', '240 (218 to 265)'],
      ['good / high', '420 (381 to 463)'],
      ['high / too high', '600 * (559 to 733)'],
    ]);
    const beside = { ...gauges, runs: [{ ...run!, chosenCaution: 'But take no level from it.' }] };
    expect(captions(beside)[0]).toContain(`${run!.ranking!.choice.sentence} But take no level from it.`);
    expect(found.at(-1)).toBe('Before anyone goes');
    expect(found.filter((caption) => caption === 'Before anyone goes').length).toBe(1);
    const unranked = { ...gauges, runs: [{ ...run!, ranking: null, noRanking: 'Only one gauge.' }] };
    expect(tablesOf(unranked)[0]!.rows).toEqual([['Only one gauge.']]);
    expect(titles(unranked)).toEqual([]);
    expect(titles(gauges)[0]).toBe(`${run!.name}: Gauges by skill on floods left out`);
  });

  it('a fit: a glance, and its edges in the gauge’s unit', () => {
    expect(captions(fit)).toEqual(['Fit of narrows to the staff bridge, effective']);
    const [figure] = figuresOf(fit);
    expect(figure!.title).toBe('Edges of narrows at the staff bridge');
    expect(figure!.alt).toBe(
      'edge, m: high / flood 4.50 (80 %: 4.50 to 4.50); good / high 2.50 (80 %: 2.50 to 2.50); low / good 1.50 (80 %: 1.50 to 1.50).',
    );
    expect(titles({ ...fit, draws: { ...fit.draws, count: 0 } })).toEqual([]);
  });

  it("a logger's fit: lag and storage, no minus before a zero", () => {
    const [shown] = tablesOf(logger);
    expect(shown!.caption).toBe('Logger sawpit explained by the staff bridge');
    expect(cell(shown!, 'lag, h (80 %)')).toBe('3.00 (2.50 to 3.50)');
    expect(cell(shown!, 'storage, h (80 %)')).toBe('0.00 (-1.00 to 1.00)');
    expect(cell(shown!, 'curve')).toBe('power law, exponent 2.3');
    expect(figuresOf(logger)[0]!.alt).toBe('hours: lag 3.0 (80 %: 2.5 to 3.5); storage 0.0 (80 %: −1.0 to 1.0).');
    const none = { ...logger, status: 'too-few-rows', statusSentence: 'Too few hours.' } as const;
    expect(tablesOf(none)[0]!.rows.map(([quantity]) => quantity)).toEqual(['status', 'hours, floods']);
    expect(titles(none)).toEqual([]);
  });

  it('a chart and a gauge: levels, range and odds; none of a gauge without a usable relation', () => {
    expect(titles(chart)).toContain(`What ${gauge.gauge.name} reads at each class`);
    expect(titles(gauge)).toEqual([`How sure the odds of ${gauge.gauge.name} are`]);
    expect(captions(gauge).length).toBe(2);
    const useless = fixtureChart({ grade: 'no usable relation' });
    const worst = useless.runs[0]!.gauges[0]!;
    expect(captions(worst)).toEqual([`How far to trust it, ${worst.gauge.name}: no usable relation`]);
    expect(titles(worst)).toEqual([]);
    expect(titles(useless)).not.toContain(`What ${worst.gauge.name} reads at each class`);
    expect(tableText(tablesOf(useless)[0]!)).not.toContain(worst.level!.howToRead);
  });

  it('a tidy table as it is', () => {
    const tidy = skillTable(trust);
    const [shown] = tablesOf(tidy);
    expect([shown!.caption, shown!.columns]).toEqual(['skill', Object.keys(tidy.columns)]);
    expect(shown!.rows.length).toBe(tidy.rows.length);
  });

  it('a frame whose columns have the names of our own keys', () => {
    const frame = {
      columns: ['kind', 'grade', 'checks'],
      values: [['clock', 'a', 1]],
      kind: {},
      grade: {},
      checks: {},
    };
    expect(tablesOf(frame)[0]!.rows).toEqual([['clock', 'a', 1]]);
    expect(titles(frame)).toEqual([]);
  });

  it('every kind in HTML and in text, without a hole in it and without markup of a log', () => {
    const hostile = fixtureChart({ gaugeName: '<img src=x onerror=1>' });
    const all: readonly Tabular[] = [judgement, trust, gauges, fit, logger, chart, hostile, fixtureTrust(hostile)];
    for (const shown of all.flatMap(tablesOf)) {
      expect(tableText(shown)).not.toMatch(/NaN|Infinity|undefined|\[object|\bnull\b/);
      expect(tableHtml(shown)).not.toMatch(/<img|NaN|Infinity|undefined|\[object/);
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
    expect(sent.indexOf(library[0]!)).toBe(2);
    const figures = sent.slice(3);
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
