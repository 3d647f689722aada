import { describe, expect, it } from 'vitest';
import type { CreekGauges, LoggerReport, RunGauges } from '../../../src/chart/gauges/types.js';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { chartMarkdown } from '../../../src/show/text/chartMarkdown.js';
import { chartTable } from '../../../src/show/text/chartTable.js';
import { gaugesLines } from '../../../src/show/text/gaugesLines.js';
import { gaugesMarkdown } from '../../../src/show/text/gaugesMarkdown.js';
import { gaugesReport } from '../../../src/show/text/gaugesReport.js';
import {
  bestExplainedFirst,
  hoursEstimate,
  hoursText,
  loggerLine,
  shareText,
} from '../../../src/show/text/gaugeTexts.js';
import { textWidth } from '../../../src/show/text/wrapText.js';
import { fixtureChart } from '../fixtureChart.js';
import { fixtureGauges } from '../fixtureGauges.js';
import { fixtureTrust } from '../fixtureTrust.js';

const gauges = fixtureGauges();
const [upper, lower] = gauges.runs as [RunGauges, RunGauges];
const [logger] = upper.loggers as [LoggerReport];
const flat = (text: string | readonly string[]) =>
  (typeof text === 'string' ? text : text.join(' ')).replace(/\s+/g, ' ');
const only = (run: RunGauges): CreekGauges => ({ ...gauges, runs: [run] });
const EMPTY: RunGauges = { ...lower, noRanking: null };

describe('which gauge, in a few lines', () => {
  it('has candidates beside each other, who only confirms and who stands aside, the choice, how to read it', () => {
    const lines = gaugesLines(upper, { width: 100, indent: '  ' });
    const text = flat(lines);
    expect(lines[0]).toBe('  Which gauge, read 2 hours before? (64 visits in 17 floods that all share)');
    expect(lines[1]).toMatch(/^ {2}Gauge +skill +80 % +best +lag$/);
    expect(text).toContain(
      '1. mean of Ombrel River at Low Bridge and Garn Brook at the mill 0.68 0.59 to 0.77 71 % 3 / 2 h',
    );
    expect(text).toContain('2. Ombrel River at Low Bridge 0.61 0.51 to 0.71 16 % 3 h');
    expect(text).toContain('Only confirm afterwards: Vessin below the dam. Stand aside: Tarn outlet.');
    expect(text).toContain(upper.ranking!.choice.sentence);
    expect(text).toContain(
      `${upper.combined!.howToRead} Visits have met means from 60.0 to 900 ft³/s (1.70 to 25.4 m³/s): not seen above and below. ${upper.combined!.caution}`,
    );
    expect(text).toContain('low / good: 240 (218 to 265) ft³/s, 7.0 (6.1 to 7.5) m³/s');
    expect(text).toContain('high / too high: 600 (559 to 733) ft³/s, 18 (15 to 21) m³/s *');
  });

  it.each([60, 80])('keeps within %i columns and is short', (width) => {
    const lines = gaugesLines(upper, { width, indent: '   ', units: 'metric' });
    for (const line of lines) expect(textWidth(line)).toBeLessThanOrEqual(width);
    expect(lines.length).toBeLessThanOrEqual(width === 80 ? 25 : 45);
    expect(lines.join('\n')).not.toContain('ft³/s');
  });

  it('shows five candidates and the chosen one, and says how many are left', () => {
    const many = Array.from({ length: 9 }, (_, i) => ({
      ...upper.ranking!.warning[1]!,
      rank: i + 1,
      id: `g${i}`,
      name: `gauge ${i}`,
    }));
    const ranking = { ...upper.ranking!, warning: many, choice: { ...upper.ranking!.choice, id: 'g7' }, leadHours: 0 };
    const text = flat(gaugesLines({ ...upper, ranking, combined: null }, { width: 80 }));
    expect(text).toContain('Which gauge? (64 visits');
    expect(text.match(/\d\. gauge \d/g)).toEqual([1, 2, 3, 4, 5, 8].map((rank) => `${rank}. gauge ${rank - 1}`));
    expect(text).toContain('3 more in "sightstage gauges". Only confirm');
  });

  it('says why there is no ranking, and nothing where there is nothing to say', () => {
    expect(gaugesLines(lower, { width: 80 })).toEqual(['Four visits are too few to rank gauges by.']);
    expect(gaugesLines(EMPTY, { width: 80 })).toEqual([]);
  });

  it('has a lag that does not go with the distance, and only that', () => {
    expect(flat(gaugesLines(upper, { width: 80 }))).not.toContain('tracer');
    const [lag] = upper.lags;
    const doubt = {
      ...lag!,
      travel: { ...lag!.travel!, lagGoes: false, sentence: 'Over 15 km a wave. The lag found is shorter than that.' },
    };
    const unknown = { ...lag!, gaugeName: 'Nowhere', travel: { ...lag!.travel!, lagGoes: null } };
    const lines = gaugesLines({ ...EMPTY, lags: [doubt, unknown] }, { width: 100 });
    expect(lines).toEqual(['- Ombrel River at Low Bridge: Over 15 km a wave. The lag found is shorter than that.']);
  });
});

describe('a logger in a line', () => {
  const [fitted, few] = logger.gauges;
  const other = { ...fitted!, gauge: 'other', gaugeName: 'Other', explained: 0.97, withVisits: null, floods: 1 };

  it('is by the gauge that explains it best', () => {
    expect(loggerLine(logger)).toBe(
      'Club logger under the footbridge: Ombrel River at Low Bridge, lag 2.6 h (2.1 to 3.1) with a storage of 9 h (6 to 12); it explains 94 % of the levels. With the logger the lag is known to 1.2 h instead of 4.4 h.',
    );
    expect(loggerLine({ ...logger, gauges: [fitted!, other, few!] })).toBe(
      'Club logger under the footbridge: Other, lag 2.6 h (2.1 to 3.1) with a storage of 9 h (6 to 12); it explains 97 % of the levels, over 1 flood only.',
    );
  });

  it('is by a gauge without a doubt before any other, and says the doubt where there is no such gauge', () => {
    const sentence =
      'Over 30 days Noise leads by 5.8 h. That is too little for a lag: it has no say in that of the visits.';
    const doubted = { ...fitted!, gaugeName: 'Noise', explained: 0.99, doubt: 'explains-little' as const, sentence };
    const poor = { ...fitted!, explained: 0.3, withVisits: null };
    const names = (gauges: LoggerReport['gauges']) =>
      bestExplainedFirst({ ...logger, gauges }).map(({ gaugeName, explained }) => `${gaugeName} ${explained}`);
    expect(names([few!, doubted, poor, fitted!])).toEqual([
      'Ombrel River at Low Bridge 0.94',
      'Ombrel River at Low Bridge 0.3',
      'Noise 0.99',
      'Garn Brook at the mill null',
    ]);
    expect(loggerLine({ ...logger, gauges: [doubted, poor] })).toContain('it explains 30 % of the levels.');
    expect(loggerLine({ ...logger, gauges: [few!, doubted] })).toBe(`Club logger under the footbridge: ${sentence}`);
  });

  it('says why it tells nothing', () => {
    expect(loggerLine({ ...logger, gauges: [few!] })).toBe(
      'Club logger under the footbridge: The logger and Garn Brook at the mill share 12 hours; 48 are needed for a lag.',
    );
    expect(loggerLine({ ...logger, gauges: [] })).toBe(
      'Club logger under the footbridge: there is no gauge to hold it against.',
    );
    expect(loggerLine({ ...logger, gauges: [], fromMs: null, toMs: null })).toBe(
      'Club logger under the footbridge: none of its levels could be read.',
    );
  });

  it('rounds hours, keeps their sign and says where a bound is open', () => {
    expect([2.04, -0.04, 9.96, 10.4, -12.6].map(hoursText)).toEqual(['2', '0', '10', '10', '-13']);
    expect(hoursEstimate({ median: -3, i80: [null, -1.25], i95: [null, 0] })).toBe('-3 h (below -1.2)');
    expect(hoursEstimate({ median: 2, i80: [1.99, 2.02], i95: [1.9, 2.1] })).toBe('2 h');
    expect(hoursEstimate(null)).toBe('-');
  });
});

describe('all of it for a terminal', () => {
  it.each([40, 60, 80, 120])('keeps within %i columns (60 at least) and carries every caution once', (width) => {
    const lines = gaugesReport(gauges, { width });
    for (const line of lines) expect(textWidth(line)).toBeLessThanOrEqual(Math.max(60, width));
    for (const caution of CAUTIONS) expect(flat(lines).split(caution)).toHaveLength(2);
  });

  it('has a part for everything that is known of a run', () => {
    const lines = gaugesReport(gauges, { width: 100 });
    const text = flat(lines);
    expect(lines.filter((line) => /^(══| {3}\S.*)/.test(line) && lines[lines.indexOf(line) - 1] === '')).toEqual([
      '══ Upper Ombrel ══',
      '   Which gauge to read',
      '   How often one scores better than another',
      '   How to read the chosen gauge',
      '   Club logger under the footbridge (m, 0.1 km from the put-in, 2031-04-02 to 2031-05-07)',
      '   Lag',
      '   Painted staff (cm)',
      '══ Lower Ombrel ══',
      '   Which gauge to read',
    ]);
    for (const { reason } of [...upper.ranking!.warning, ...upper.ranking!.confirming, ...upper.ranking!.aside])
      expect(text).toContain(reason);
    expect(text).toContain('2. 14 % 66 % 96 %');
    expect(text).toContain('high / too high 600 (559 to 733) * 18 (15 to 21) *');
    expect(text).toContain('*: no visit stands on one side; an assumption, not an observation.');
    expect(text).toContain('Garn Brook at the mill 0.38 2 h 0 h');
    for (const { gaugeName, sentence } of logger.gauges) expect(text).toContain(`- ${gaugeName}: ${sentence}`);
    expect(text).toContain('A power law with offset, levels within 0.021 m (sd); 838 rows, worth 61 independent ones.');
    expect(text).toContain(
      'The changes of both agree most at a lag of 5 h (correlation 0.78); two unrelated rivers of the same memory stay within 0.17.',
    );
    expect(text).toContain('With the logger the lag is known to 1.2 h instead of 4.4 h.');
    expect(text).toContain(`- Ombrel River at Low Bridge: ${upper.lags[0]!.travel!.sentence} One lag for all flows`);
    expect(text).toContain('good 6 50 57 63');
    expect(text).not.toContain('too high 0');
    const rating = upper.staffs[0]!.gauges[0]!;
    expect(text).toContain(`${rating.formSentence} ${rating.noiseSentence}`);
    expect(text).toContain(`${rating.offset!.sentence} 95 % sure: below 16.2 cm.`);
    // From the lowest to the highest flow that a visit read the staff at: 120 to 850, of a curve from 80 to 1200.
    expect(text).toContain('120 42.6 41.5 to 43.8 38.2 to 47.1');
    expect(text).toContain('836 81.2 80.1 to 82.4 76.8 to 85.7');
    expect(text).not.toContain('92.5 91.4');
    expect(text).toContain('Four visits are too few to rank gauges by.');
  });

  it('says by which gauge, and the correlation nearest to a peak between two lags', () => {
    const [fitted] = logger.gauges;
    const between = { ...fitted!.ccf!, peakLagHours: 4.6 };
    const second = { ...fitted!, gaugeName: 'Other', form: 'line' as const, ccf: between };
    const two = { ...logger, kmFromPutIn: null, gauges: [fitted!, second] };
    const text = flat(gaugesReport(only({ ...upper, loggers: [two] }), { width: 100 }));
    expect(text).toContain('- Other: The gauge leads the logger by 2.6 h');
    expect(text).toContain('A straight line in ln, levels within');
    expect(text).toContain('at a lag of 4.6 h (correlation 0.78)');
    expect(text).toContain('Club logger under the footbridge (m, 2031-04-02');
  });

  it('never claims that a share of the draws is none or all', () => {
    expect([0, 0.004, 0.005, 0.5, 0.994, 0.995, 1].map(shareText)).toEqual([
      '<1 %',
      '<1 %',
      '1 %',
      '50 %',
      '99 %',
      '>99 %',
      '>99 %',
    ]);
    const sure = { ...upper.ranking!, warning: upper.ranking!.warning.map((g) => ({ ...g, best: 1 })) };
    const text = gaugesMarkdown({ ...EMPTY, ranking: sure }, { timeZone: 'UTC' }).join('\n');
    expect(text).toContain('| &gt;99 % | 3 h |');
  });

  it('leaves out what is not known, and says why a logger tells nothing', () => {
    const line = { ...upper.staffs[0]!.gauges[0]!, form: 'line' as const, offset: null };
    const bare: RunGauges = {
      ...EMPTY,
      loggers: [
        { ...logger, gauges: [], fromMs: null, toMs: null },
        { ...logger, name: 'Second', gauges: [] },
      ],
      lags: [{ ...upper.lags[1]! }],
      staffs: [{ ...upper.staffs[0]!, classes: [], gauges: [{ ...line, points: [] }] }],
    };
    const text = flat(gaugesReport(only(bare), { width: 100 }));
    expect(text).toContain('Which gauge to read There is no gauge to choose from.');
    expect(text).toContain('(m, 0.1 km from the put-in) None of its levels could be read.');
    expect(text).toContain('There is no gauge to hold it against.');
    expect(text).toContain('By Ombrel River at Low Bridge, 0 visits: A power law');
    expect(text).not.toMatch(/ Lag |no flow|How often|one reading|undefined|null|NaN|Infinity/);
    const one = { ...upper.ranking!, warning: upper.ranking!.warning.slice(0, 1), confirming: [], aside: [] };
    expect(flat(gaugesReport(only({ ...upper, ranking: one })))).not.toContain('How often one scores');
  });

  it('is bold by request only, with the same text', () => {
    const plain = gaugesReport(gauges);
    const bold = gaugesReport(gauges, { colour: true });
    expect(plain.join('')).not.toContain('\u001b');
    expect(bold.join('\n')).toContain('\u001b[1m   Lag');
    expect(bold.map((line) => line.replace(/\u001b\[\d+m/g, ''))).toEqual(plain);
  });

  it('shows one unit system when asked', () => {
    expect(flat(gaugesReport(only({ ...upper, staffs: [] }), { units: 'us' }))).not.toContain('m³/s');
  });
});

describe('what must stand beside the choice', () => {
  const every = (run: RunGauges): readonly string[] =>
    [
      gaugesLines(run, { width: 80 }),
      gaugesReport(only(run), { width: 80 }),
      gaugesMarkdown(run, { timeZone: 'UTC' }),
    ].map(flat);

  it('is the caution of a mean, between how to read it and its edges', () => {
    const caution = 'None of these gauges is for use by itself. Not for going.';
    for (const text of every({ ...upper, combined: { ...upper.combined!, aloneUsable: false, caution } })) {
      const at = [upper.combined!.howToRead, 'not seen above and below', caution, '218 to 265'].map((words) =>
        text.indexOf(words),
      );
      expect(at[0]).toBeGreaterThan(0);
      expect(at[1]).toBeGreaterThan(at[0]!);
      expect(at[2]).toBeGreaterThan(at[1]!);
      expect(at[3]).toBeGreaterThan(at[2]!);
    }
  });

  it('is that the chosen gauge’s own chart is not for use', () => {
    const chosenCaution = 'But its own chart is not for use (too thin): take no level from it.';
    const single = fixtureGauges({ chosen: 'single' }).runs[0]!;
    for (const text of every({ ...single, chosenCaution })) {
      const after = text.slice(text.indexOf(single.ranking!.choice.sentence) + single.ranking!.choice.sentence.length);
      expect(after.replaceAll('*', '').trim().startsWith(chosenCaution)).toBe(true);
    }
    for (const text of every(single)) expect(text).not.toContain('take no level');
  });

  it('is nothing about the best of one', () => {
    const first = upper.ranking!.warning.slice(1, 2);
    const one = { ...upper.ranking!, warning: first, confirming: [], aside: [], beats: [[0.5]] };
    for (const text of every({ ...EMPTY, ranking: one })) {
      expect(text).toContain('0.51 to 0.71');
      expect(text).not.toMatch(/\bbest \b.*lag|\| Best|16 %/);
    }
  });
});

describe('a staff whose rating has a break', () => {
  it('says where two power laws meet, and how the upper one rises', () => {
    const [staff] = upper.staffs;
    const rating = {
      ...staff!.gauges[0]!,
      formSentence: 'Read as two power laws.',
      upper: { from: 310, exponent: { median: 0.81, i80: [0.62, 1.02] as const, i95: [0.5, 1.2] as const } },
    };
    const run = { ...EMPTY, staffs: [{ ...staff!, gauges: [rating] }] };
    const words = 'two power laws. They meet at 310 ft³/s; above it the exponent is 0.81 (0.62 to 1.02). The scatter';
    expect(flat(gaugesReport(only(run), { width: 100 }))).toContain(words);
    expect(flat(gaugesMarkdown(run, { timeZone: 'UTC' }))).toContain(words);
    expect(flat(gaugesReport(gauges))).not.toContain('They meet');
  });
});

describe('in the chart’s own outputs', () => {
  const chart = fixtureChart();
  const trust = fixtureTrust(chart);

  it('stands under the gauges of each run in the terminal, in place of the judged gauges where they were ranked', () => {
    const text = chartTable(chart, { trust, gauges, width: 80 });
    for (const line of text.split('\n')) expect(textWidth(line)).toBeLessThanOrEqual(80);
    const [before, after] = text.split('Which gauge') as [string, string];
    expect(flat(after)).toContain(upper.ranking!.choice.sentence);
    expect(after.indexOf('Four visits are too few')).toBeGreaterThan(after.indexOf('══'));
    expect(after.indexOf('For whoever keeps the log')).toBeGreaterThan(after.indexOf('Four visits are too few'));
    // The first run was ranked, the second was not.
    expect(before).not.toMatch(/Gauge +grade +skill +right/);
    expect(chartTable(chart, { trust })).toMatch(/Gauge +grade +skill +right/);
    expect(chartTable(chart, { trust })).not.toContain('Which gauge');
  });

  it('doubts no lag of a gauge without a relation', () => {
    const travel = { ...upper.lags[0]!.travel!, lagGoes: false, sentence: 'The lag found is shorter than that.' };
    const { id } = chart.runs[0]!.gauges[0]!.gauge;
    const doubted = only({ ...upper, lags: [{ ...upper.lags[0]!, gauge: id, travel }] });
    expect(chartTable(chart, { gauges: doubted })).toContain('The lag found is shorter than that.');
    const [run, ...runs] = chart.runs;
    const none = run!.gauges.map((g) => ({ ...g, trust: { ...g.trust, grade: 'no usable relation' as const } }));
    const unrelated = { ...chart, runs: [{ ...run!, gauges: none }, ...runs] };
    expect(chartTable(unrelated, { gauges: doubted })).not.toContain('The lag found');
  });

  it('is a section of each run in Markdown', () => {
    const text = chartMarkdown(chart, { trust, gauges });
    expect(text.match(/### Which gauge to read/g)).toHaveLength(2);
    expect(text).toContain('| 2 | Ombrel River at Low Bridge | 0.61 | 0.51 to 0.71 | 16 % | 3 h | mean of Ombrel');
    expect(text).toContain('Only confirm afterwards:');
    expect(text).toContain('- **Tarn outlet:** Its record covers 21 of 72 visits; at least 60 % are needed.');
    expect(text).toContain('| low / good | 240 (218 to 265) | 7.0 (6.1 to 7.5) |');
    expect(text).toContain(
      '- **Club logger under the footbridge** (2031-04-02 to 2031-05-07):\n  - **Ombrel River at Low Bridge:** The gauge leads',
    );
    expect(text).toContain('- **Ombrel River at Low Bridge:** Over 15 km');
    expect(text).toContain('#### Painted staff\n\nPainted staff was read on');
    expect(text).toContain('| good | 6 | 50 | 57 | 63 |');
    expect(text).toContain('- **Ombrel River at Low Bridge** (ft³/s): A power law');
    expect(chartMarkdown(chart, { trust })).not.toContain('Which gauge to read');
  });

  it('has no section for a run of which nothing is known, and says why a logger tells nothing', () => {
    const style = { timeZone: 'UTC' };
    expect(gaugesMarkdown(EMPTY, style)).toEqual([]);
    const silent = { ...logger, gauges: [] };
    expect(gaugesMarkdown({ ...EMPTY, loggers: [silent, { ...silent, fromMs: null, toMs: null }] }, style)).toEqual([
      '#### Loggers',
      '',
      '- **Club logger under the footbridge** (2031-04-02 to 2031-05-06): no gauge to hold it against.',
      '- **Club logger under the footbridge**: none of its levels could be read.',
      '',
    ]);
    const none = { ...upper.ranking!, warning: [], confirming: [], aside: [] };
    expect(gaugesMarkdown({ ...EMPTY, ranking: none }, style)).toContain('None can be read before going.');
  });
});

describe('names from a hostile folder', () => {
  const evil = 'Ana\u001b[31m\u202e\n| **x** <img src=x> [a](http://b)';
  const hostile = JSON.parse(
    JSON.stringify(only({ ...upper, name: evil })).replaceAll(
      'Ombrel River at Low Bridge',
      JSON.stringify(evil).slice(1, -1),
    ),
  ) as CreekGauges;

  it('move no cursor and reorder nothing in the terminal', () => {
    const chart = fixtureChart();
    for (const text of [gaugesReport(hostile).join('\n'), chartTable(chart, { gauges: hostile })]) {
      expect(text).toContain('Ana');
      expect(text).not.toMatch(/[\u001b\u202e]/);
    }
  });

  it('become no markup in Markdown', () => {
    const text = chartMarkdown(fixtureChart(), { gauges: hostile });
    expect(text).toContain('&lt;img src=x&gt;');
    expect(text).not.toMatch(/<img|\*\*x\*\*|[^\\]\]\(http|\u001b|\u202e/);
  });
});
