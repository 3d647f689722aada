import { describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { chartMarkdown } from '../../../src/show/text/chartMarkdown.js';
import { handChart } from './handChart.js';

describe('chartMarkdown', () => {
  const text = chartMarkdown(handChart());

  it('opens with the cautions', () => {
    const head = text.slice(0, text.indexOf('## '));
    for (const caution of CAUTIONS) expect(head).toContain(caution.replace(/!/g, '\\!'));
  });

  it('has the staff as a table', () => {
    expect(text).toContain(
      [
        '|  | ft³/s | m³/s |',
        '| --- | --- | --- |',
        '| *not seen* | above 640 | above 18.1 |',
        '| **too high** |  |  |',
        '| *high / too high* | **500** (above 430) | **14.1** (above 12.1) |',
        '| **high** | never sure (at best 62 %) |  |',
        '| *good / high* | **310** (280 to 345) | **8.7** (7.9 to 9.8) |',
        '| **good** | sure 200 to 280 | sure 5.7 to 7.9 |',
        '| *low / good* | **180** (165 to 200) | **5.1** (4.6 to 5.7) |',
        '| **low** |  |  |',
        '| *too low / low* | **120** (95 to 141) \\* | **3.4** (2.6 to 4.0) \\* |',
      ].join('\n'),
    );
  });

  it('has the edges of the features, the grade with reasons, and the provenance', () => {
    expect(text).toContain('| Split ledge | dry / wet | 90 (80 to 110) | 2.6 (2.2 to 3.2) |');
    expect(text).toContain('### Mill Bridge (discharge): fair guide');
    expect(text).toContain('- Only 2 visits were too low.');
    expect(text).toContain('- sightstage 0.1.0, seed 1, leadHours 0, link probit');
    expect(text).toContain('- 2 rows: class-unknown');
  });

  it('warns before the levels of a chart that is too thin', () => {
    const chart = handChart();
    const run = chart.runs[0]!;
    const gauges = run.gauges.map((g) => ({ ...g, trust: { ...g.trust, grade: 'too thin' as const } }));
    expect(chartMarkdown({ ...chart, runs: [{ ...run, gauges }] })).toContain(
      'Too thin to plan with: the levels below',
    );
    expect(text).not.toContain('Too thin to plan with');
  });

  it('gives no level for a gauge without a usable relation', () => {
    const far = text.slice(text.indexOf('### Far river'), text.indexOf('## Not used'));
    expect(far).toContain('No levels are given: this gauge does not tell the classes of this run apart.');
    expect(far).not.toContain('| --- |');
  });

  it.each([
    ['<img src=x onerror=alert(1)>', '&lt;img src=x onerror=alert(1)&gt;'],
    ['[go](javascript:x)', '\\[go\\](javascript:x)'],
    ['![p](http://x.example/p.png)', '\\!\\[p\\](http&#58;//x.example/p.png)'],
    ['a | b', 'a \\| b'],
    ['*loud* _low_ `code` ~~out~~ # h', '\\*loud\\* \\_low\\_ \\`code\\` \\~\\~out\\~\\~ \\# h'],
    ['1. list', '1\\. list'],
    ['- list', '\\- list'],
    ['www.x.example a@x.example', 'www&#46;x.example a&#64;x.example'],
    ['a\n\n# b', 'a \\# b'],
  ])('keeps %j as text', (name, expected) => {
    expect(chartMarkdown(handChart({ name })).split('\n')[0]).toBe(`# Level chart: ${expected}`);
  });
});
