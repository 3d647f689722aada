import { describe, expect, it } from 'vitest';
import { chartMarkdown } from '../../../src/show/text/chartMarkdown.js';
import { chartTable } from '../../../src/show/text/chartTable.js';
import { keeperNotes } from '../../../src/show/text/keeperNotes.js';
import { plainTable } from '../../../src/show/text/plainTable.js';
import { quickNote, shortTrust } from '../../../src/show/text/shortTrust.js';
import { tidyCellText, tidyText } from '../../../src/show/text/tidyText.js';
import { trustLines } from '../../../src/show/text/trustLines.js';
import { trustReport } from '../../../src/show/text/trustReport.js';
import { textWidth } from '../../../src/show/text/wrapText.js';
import type { CreekTrust, Judgement } from '../../../src/judge/judgement.js';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { tidyTable } from '../../../src/show/frames/tidyTable.js';
import { fixtureChart } from '../fixtureChart.js';
import { fixtureTrust, quick, unfitted } from '../fixtureTrust.js';

const chart = fixtureChart();
const trust = fixtureTrust(chart);
const first = trust.runs[0]!.gauges[0]!;
const flat = (text: string) => text.replace(/\s+/g, ' ');

/** The same judgements with another one in the first place. */
function withFirst(change: (judgement: Judgement) => Judgement): CreekTrust {
  const [run, ...runs] = trust.runs;
  const [gauge, ...gauges] = run!.gauges;
  return { ...trust, runs: [{ ...run!, gauges: [change(gauge!), ...gauges] }, ...runs] };
}

const WRONG =
  'On floods it had not seen, the chart named the right class in 78 % (68 to 88) of the visits, off by one at most in 100 %; the creek was higher than said in 7 % (0 to 13), lower in 16 % (9 to 23).';
/** As long as the sentence of a rule gets. */
const RULE =
  '"Go at 1350 to 6200 ft³/s", chosen for "too high" on under 5 % of the days: of 45 logged days gone (the calendar has drier ones) 4 % (0 to 9) were "too high", 9 % (3 to 15) wasted, those of "high" count as neither; it misses 9 % (3 to 14) of the good days.';

describe('how far to trust it, in a minute', () => {
  const evidence = '40 visits in 18 floods, 2031-03-02 to 2032-11-14';

  it('takes at most 12 lines of 80 columns, however much there is to say', () => {
    const wordy = {
      ...first,
      scores: { ...first.scores!, sentence: WRONG },
      rules: { ...first.rules!, sentence: RULE },
      reasons: Array.from(
        { length: 6 },
        (_, i) => `Reason ${i} goes on for nearly as long as one line of the terminal.`,
      ),
      improve: Array.from(
        { length: 3 },
        (_, i) => `Advice ${i} goes on for nearly as long as one line of the terminal.`,
      ),
    };
    const lines = trustLines(wordy, { width: 80, evidence });
    expect(lines.length).toBeLessThanOrEqual(13);
    expect(lines.join('\n')).toContain('Reason 0');
    expect(flat(lines.join(' '))).toContain('What would improve it: Advice 0');
    expect(lines.join('\n')).not.toContain('Reason 3');
  });

  it.each([60, 80])('keeps within %i columns and says grade, evidence, how often wrong, rule, lead', (width) => {
    const lines = trustLines(first, { width, evidence });
    for (const line of lines) expect(textWidth(line)).toBeLessThanOrEqual(width);
    const text = flat(lines.join(' '));
    expect(text).toContain(`How far to trust it (${evidence}):`);
    expect(text).toContain(flat(first.scores!.sentence));
    expect(text).toContain(flat(first.rules!.sentence));
    expect(text).toContain(flat(first.leadCurve!.sentence));
  });

  it('leaves out what there is nothing to say of', () => {
    const { scores, rules, leadCurve } = unfitted(first);
    expect([scores, rules, leadCurve]).toEqual([null, null, null]);
    expect(shortTrust(unfitted(first)).map(({ label }) => label)).not.toContain('How often wrong');
    expect(shortTrust({ ...first, improve: [] }).map(({ label }) => label)).toEqual([
      'Why',
      'How often wrong',
      'A rule',
      'Deciding early',
    ]);
  });

  it('says once that it was judged quickly, and not where nothing was fitted', () => {
    expect(quickNote(trust)).toBe(undefined);
    const text = chartTable(chart, { trust: fixtureTrust(chart, quick) });
    expect(text.match(/Judged quickly/g)).toHaveLength(1);
    expect(quickNote(fixtureTrust(chart, (judgement) => quick(unfitted(judgement))))).toBe(undefined);
  });
});

describe('the terminal table with a judgement', () => {
  // The staff with both unit systems asks for 67 columns; narrower terminals take one.
  it.each([
    [60, 'metric'],
    [80, 'both'],
    [100, 'both'],
  ] as const)('keeps within %i columns', (width, units) => {
    for (const line of chartTable(chart, { trust, width, units }).split('\n'))
      expect(textWidth(line)).toBeLessThanOrEqual(width);
  });

  it('has the gauges of a run beside each other, then the part for the keeper of the log', () => {
    const text = chartTable(chart, { trust });
    expect(text).toMatch(/Gauge +grade +skill +right +higher +visits +floods/);
    expect(text.indexOf('For whoever keeps the log')).toBeGreaterThan(text.lastIndexOf('How far to trust it'));
    expect(flat(text)).toContain(flat(first.shift.sentence));
    expect(flat(text)).toContain(flat(first.suspects.sentence));
  });

  it('shows the short summary without one, as before', () => {
    const text = chartTable(chart);
    expect(text).toContain(`Why ${chart.runs[0]!.gauges[0]!.trust.grade}:`);
    expect(text).not.toContain('How far to trust it');
  });
});

describe('for whoever keeps the log', () => {
  it('names a suspect visit with its rows, its odds and what would explain it', () => {
    const row = {
      visit: 'v7',
      timeMs: Date.UTC(2031, 4, 3, 10),
      rows: [12, 13],
      observers: ['Ana'],
      sound: 0.31,
      explanations: [
        { kind: 'clock', sentence: 'Took place a day earlier than written.', probability: 0.5 },
        { kind: 'another-day', sentence: 'Belongs to some other day, or to another run.', probability: 0.15 },
        { kind: 'unit', sentence: 'Never shown.', probability: 0.04 },
      ],
    };
    const [notes] = keeperNotes(
      withFirst((j) => ({ ...j, grade: 'fair guide', suspects: { judged: 40, rows: [row], sentence: 'One.' } })),
    );
    expect(notes!.parts[0]).toEqual({
      label: 'Visits that look wrong',
      notes: [
        'One.',
        'v7, 2031-05-03, Ana (visits.csv rows 12, 13): right as written 31 %. Took place a day earlier than written (50 %); Belongs to some other day, or to another run (15 %).',
      ],
    });
  });

  it('is about the gauges that can be planned with, or about the best where there is none', () => {
    const grades = (grade: Judgement['grade']) =>
      keeperNotes({
        ...trust,
        runs: trust.runs.slice(0, 1).map((run) => ({ ...run, gauges: run.gauges.map((g) => ({ ...g, grade })) })),
      });
    expect(grades('fair guide').length).toBe(trust.runs[0]!.gauges.length);
    expect(grades('too thin').length).toBe(1);
  });
});

describe('the long report', () => {
  it.each([60, 80, 120])('keeps within %i columns and carries every caution', (width) => {
    const text = trustReport(trust, { width });
    for (const line of text.split('\n')) expect(textWidth(line)).toBeLessThanOrEqual(width);
    for (const caution of CAUTIONS) expect(flat(text)).toContain(caution);
  });

  it('has a part for everything that was judged, and none for what was not', () => {
    const titles = (of: CreekTrust) =>
      trustReport(of)
        .split('\n')
        .filter((line) => /^ {3}[A-Z][^.:]*$/.test(line))
        .map((line) => line.trim());
    const full = titles({ ...trust, runs: [{ ...trust.runs[0]!, gauges: [first] }] });
    for (const title of ['Checks', 'Evidence', 'Deciding early', 'Next looks', 'Under other assumptions', 'Floods'])
      expect(full).toContain(title);
    const bare = titles({ ...trust, runs: [{ ...trust.runs[0]!, gauges: [unfitted(first)] }] });
    expect(bare).toContain('Checks');
    for (const title of ['Deciding early', 'Under other assumptions', 'Floods']) expect(bare).not.toContain(title);
  });

  it('says which essential check failed', () => {
    const failed = withFirst((j) => ({
      ...j,
      checks: [
        {
          check: 'floods',
          statistic: 3,
          operator: '>=',
          threshold: 8,
          unit: 'floods',
          pass: false,
          essential: true,
          comment: '',
        },
      ],
    }));
    expect(trustReport(failed)).toMatch(/floods +3 +>= 8 floods +FAILED, essential/);
  });
});

describe('names from a hostile log', () => {
  const evil = 'Ana\u001b[31m\u202e\n| **x** <img src=x> [a](http://b)';
  const hostile = withFirst((j) => ({
    ...j,
    grade: 'fair guide',
    observers: {
      ...j.observers,
      rows: [{ ...j.observers.rows[0]!, observer: evil, above: 1, sentence: `${evil} reads higher.` }],
    },
    suspects: { ...j.suspects, rows: [{ ...j.suspects.rows[0]!, visit: evil, observers: [evil] }] },
  }));

  it('move no cursor and reorder nothing in the terminal', () => {
    for (const text of [chartTable(chart, { trust: hostile }), trustReport(hostile)]) {
      expect(text).toContain('Ana');
      expect(text).not.toMatch(/[\u001b\u202e]/);
    }
  });

  it('become no markup in Markdown', () => {
    const text = chartMarkdown(chart, { trust: hostile });
    expect(text).toContain('&lt;img src=x&gt;');
    expect(text).not.toMatch(/<img|\*\*x\*\*|[^\\]\]\(http|\u001b|\u202e/);
  });
});

describe('Markdown with a judgement', () => {
  it('has the short part under each gauge and the keeper’s part at the end', () => {
    const text = chartMarkdown(chart, { trust });
    expect(text.match(/^#### How far to trust it: /gm)!.length).toBe(chart.runs.flatMap((run) => run.gauges).length);
    expect(text).toContain('- **How often wrong:** On floods it had not seen');
    expect(text).toContain('## For whoever keeps the log');
    expect(text).toContain('| Gauge | Grade | Skill | Right class | Creek higher than said | Visits | Floods |');
  });
});

describe('text columns', () => {
  it('wrap the first column, stand numbers to the right, and become lines where there is no room', () => {
    const columns = [{ heading: 'name' }, { heading: 'n', right: true }];
    expect(plainTable(columns, [['a long name', '1']], { width: 15 })).toEqual(['name         n', 'a long name  1']);
    expect(plainTable(columns, [['a long name', '1']], { width: 8 })).toEqual([
      'name: a',
      '  long',
      '  name;',
      '  n: 1',
    ]);
    expect(plainTable(columns, [], { width: 80 })).toEqual([]);
  });

  it('take a number and its interval as one', () => {
    const table = tidyTable<{ run: string; skill: number; low80: number | null; high80: number | null }>(
      'skill',
      { run: 'text', skill: 'number', low80: 'number', high80: 'number' },
      [
        { run: 'a', skill: 0.5, low80: 0.41, high80: 0.6 },
        { run: 'a', skill: 12.345, low80: null, high80: null },
      ],
    );
    expect(tidyText(table, { without: ['run'], width: 80 })).toEqual([
      '          skill (80 %)',
      '0.500 (0.410 to 0.600)',
      '                  12.3',
    ]);
  });

  it('show cells as people read them', () => {
    expect(
      [null, '', true, false, 3, 1234.5, 0.0004, -0.0001, '2031-05-03T10:00:00.000Z', 'x'].map(tidyCellText),
    ).toEqual(['-', '-', 'yes', 'no', '3', '1235', '0', '0', '2031-05-03', 'x']);
  });
});
