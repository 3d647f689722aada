import { describe, expect, it } from 'vitest';
import type { CreekChart, GaugeChart } from '../../../src/chart/types.js';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { chartTable } from '../../../src/show/text/chartTable.js';
import { textWidth } from '../../../src/show/text/wrapText.js';
import { handChart } from './handChart.js';

/** The hand chart with its better gauge changed. */
function withGauge(change: (gauge: GaugeChart) => GaugeChart): CreekChart {
  const chart = handChart();
  const run = chart.runs[0]!;
  return { ...chart, runs: [{ ...run, gauges: run.gauges.map((g) => (g.gauge.id === 'mill' ? change(g) : g)) }] };
}

describe('chartTable', () => {
  const text = chartTable(handChart());

  it('shows the classes as a staff, highest water on top, edges between them, in both units', () => {
    expect(text).toContain(
      [
        '                       ft³/s                      m³/s',
        '     (not seen)        above 640                  above 18.1',
        '     too high',
        '     ────────────────  500  (above 430)           14.1  (above 12.1)',
        '     high              never sure (at best 62 %)',
        '     ────────────────  310  (280 to 345)          8.7  (7.9 to 9.8)',
        '     good              sure 200 to 280            sure 5.7 to 7.9',
        '     ────────────────  180  (165 to 200)          5.1  (4.6 to 5.7)',
        '     low',
        '     ────────────────  120  (95 to 141) *         3.4  (2.6 to 4.0) *',
        '     too low',
        '     (not seen)        below 88.3                 below 2.50',
      ].join('\n'),
    );
  });

  it('puts the best gauge first, with its grade, its reasons and how to read it', () => {
    expect(text.indexOf('1. Mill Bridge (discharge, 14 km away): fair guide')).toBeGreaterThan(0);
    expect(text.indexOf('2. Far river')).toBeGreaterThan(text.indexOf('1. Mill Bridge'));
    expect(text).toContain('By one reading: Take the reading 3 h before you arrive.');
    expect(text).toContain('   - Only 2 visits were too low.');
    expect(text).toContain('62 visits in 21 floods, 2031-03-02 to 2032-11-14');
    expect(text).toContain('Reading the gauge once costs 0.11 of skill.');
  });

  it('gives no level for a gauge without a usable relation', () => {
    const far = text.slice(text.indexOf('2. Far river'));
    expect(far).toContain('No levels are given: this gauge does not tell the classes of this run apart.');
    expect(far).not.toContain('────');
    expect(far).not.toContain('By one reading:');
  });

  it('ends with every caution', () => {
    const flat = text.replace(/\s+/g, ' ');
    for (const caution of CAUTIONS) expect(flat).toContain(`! ${caution}`);
  });

  it('has no escape code without colour, the same text with it, and fits the width', () => {
    const coloured = chartTable(handChart(), { colour: true });
    expect(text).not.toContain('\u001b');
    expect(coloured).toContain('\u001b[1m');
    expect(coloured.replace(/\u001b\[\d+m/g, '')).toBe(text);
    expect(Math.max(...text.split('\n').map(textWidth))).toBeLessThanOrEqual(80);
  });

  it('shows one unit system when asked', () => {
    expect(chartTable(handChart(), { units: 'metric' })).not.toContain('ft³/s');
    expect(chartTable(handChart(), { units: 'us' })).not.toContain('m³/s');
  });

  it('places the limit of what was seen among the edges when it lies below the highest', () => {
    const lines = chartTable(
      withGauge((g) => ({ ...g, effective: { ...g.level!, seen: { from: 130, to: 400 } } })),
    ).split('\n');
    const at = (part: string) => lines.findIndex((line) => line.includes(part));
    expect(at('above 400')).toBeGreaterThan(at('500  (above 430)'));
    expect(at('above 400')).toBeLessThan(at('     high '));
    expect(at('below 130')).toBeGreaterThan(at('     low'));
    expect(at('below 130')).toBeLessThan(at('120  (95 to 141)'));
  });

  it('shows one staff when both readings come to the same', () => {
    const once = chartTable(withGauge((g) => ({ ...g, effective: { ...g.level!, howToRead: g.level!.howToRead } })));
    expect(once).not.toContain('By the effective reading');
    expect(once).toContain('By one reading: Take the reading 3 h before you arrive.');
    expect(once).not.toContain('costs 0.11');
  });

  it('warns before the levels of a chart that is too thin', () => {
    const thin = chartTable(withGauge((g) => ({ ...g, trust: { ...g.trust, grade: 'too thin' } })));
    expect(thin).toContain('   Too thin to plan with: the levels below are a first guess');
    expect(chartTable(handChart())).not.toContain('Too thin to plan with');
  });

  it('says what stands in the way when nothing could be fitted', () => {
    const none = chartTable(
      withGauge((g) => ({
        ...g,
        oneReading: undefined,
        effective: undefined,
        trust: { ...g.trust, grade: 'too thin', reasons: ['Only 2 visits meet a reading.'], visits: 0 },
      })),
    );
    expect(none).toContain('2. Mill Bridge (discharge, 14 km away): too thin\n   Why too thin:\n   - Only 2 visits');
    expect(none).toContain('- no visit meets a reading of this gauge');
  });

  it('says so when a run has no gauge, and where a translated verdict comes from', () => {
    const chart = handChart();
    const bare = { ...chart, runs: [{ ...chart.runs[0]!, gauges: [], verdictFrom: 'ledge' }] };
    expect(chartTable(bare)).toContain('No gauge could be read for this run.');
    expect(chartTable(bare)).toContain('Nobody gives verdicts here: the classes are translated from Split ledge.');
  });

  it('states a fit that did not converge plainly', () => {
    const late = chartTable(
      withGauge((g) => ({
        ...g,
        oneReading: { ...g.level!, status: 'separated', statusSentence: 'Classes do not overlap.' },
      })),
    );
    expect(late).toContain('By one reading: Take the reading 3 h before you arrive.');
    expect(late).toContain('   Classes do not overlap.');
  });

  it('lets no escape code of a name through', () => {
    expect(chartTable(handChart({ name: 'Evil\u001b[2J\u202e Creek\nFAKE: good guide' }))).toMatch(
      /^Evil Creek FAKE: good guide\n/,
    );
  });
});
