import { describe, expect, it } from 'vitest';
import { chartChanges } from '../../src/chart/chartChanges.js';
import type { CreekChart, GaugeChart } from '../../src/chart/types.js';
import { changesBlocks, changesDocument, changesLine } from '../../src/tell/changesDocument.js';

interface Told {
  readonly visits?: readonly string[];
  readonly grade?: string;
  readonly edge?: number;
  readonly median?: number;
  readonly i80?: readonly [number, number];
}

function gaugeOf(
  id: string,
  { visits = ['v1', 'v2'], grade = 'fair guide', edge = 2, median = edge, i80 = [1.8, 2.2] }: Told,
): GaugeChart {
  const edges = [{ feature: 'verdict', between: ['low', 'good'], rounded: edge, digits: 1, median, i80 }];
  return {
    gauge: { id, name: `Gauge ${id}`, unit: 'm3/s' },
    trust: { grade },
    level: { edges },
    visits: visits.map((visit) => ({ visit })),
  } as unknown as GaugeChart;
}

function chartOf(gauges: readonly GaugeChart[], recommended: string | null = gauges[0]!.gauge.id): CreekChart {
  const run = { id: 'mill', name: 'Mill run', gauges, recommended };
  return { kind: 'creek-chart', schema: 1, runs: [run] } as unknown as CreekChart;
}

const before = chartOf([gaugeOf('a', {}), gaugeOf('b', {})]);
const changed = (told: Told) => chartChanges(before, chartOf([gaugeOf('a', told), gaugeOf('b', {})]));

describe('what changed since the chart before', () => {
  it('is nothing where only unprinted digits differ', () => {
    expect(changed({ median: 2.03 }).runs).toEqual([]);
    expect(changesLine(changed({}))).toBe('');
    expect(changesDocument(changed({}), { name: 'Creek', cautions: [] }).body).toHaveLength(1);
  });
  it('names visits that came and left', () => {
    const { runs } = changed({ visits: ['v2', 'v3', 'v4'] });
    expect(runs[0]).toMatchObject({ added: ['v3', 'v4'], left: [] });
    expect(chartChanges(before, chartOf([gaugeOf('a', { visits: ['v2'] })])).runs[0]!.left).toEqual(['v1']);
    expect(JSON.stringify(changesBlocks({ kind: 'chart-changes', runs }))).toContain('2 visits more (v3, v4)');
  });
  it('tells an edge that moved within its interval from one that left it', () => {
    expect(changesLine(changed({ edge: 2.1 }))).toBe(
      'Since the chart before: Mill run: low / good 2.1 m³/s, before 2 m³/s (within its interval).',
    );
    expect(changed({ edge: 2.3 }).runs[0]!.edges[0]!.beyond).toBe(true);
    expect(changed({ edge: 1.7 }).runs[0]!.edges[0]!.beyond).toBe(true);
    expect(changed({ edge: 2.3, median: NaN }).runs[0]!.edges[0]!.beyond).toBe(true);
  });
  it('tells another grade, another gauge, and that none is to be relied on any more', () => {
    expect(changed({ grade: 'good guide' }).runs[0]!.grade).toEqual({ before: 'fair guide', after: 'good guide' });
    const other = chartOf([gaugeOf('b', { edge: 2.5 }), gaugeOf('a', {})]);
    const [run] = chartChanges(before, other).runs;
    expect(run!.gauge).toEqual({ before: 'Gauge a', after: 'Gauge b' });
    expect(run!.edges[0]!.before.rounded).toBe(2);
    const none = chartChanges(before, chartOf([gaugeOf('a', {}), gaugeOf('b', {})], null));
    expect(changesLine(none)).toContain('read no gauge, before Gauge a');
  });
  it('leaves out runs that only one chart has', () => {
    expect(chartChanges({ ...before, runs: [] }, before).runs).toEqual([]);
  });
});
