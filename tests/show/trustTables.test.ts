import { describe, expect, it } from 'vitest';
import * as all from '../../src/show/frames/trust/index.js';
import { fixtureChart } from './fixtureChart.js';
import { fixtureTrust, unfitted } from './fixtureTrust.js';

const chart = fixtureChart();
const trust = fixtureTrust(chart);
const tables = Object.entries(all);

describe('tidy tables of a judgement', () => {
  it('are one for each part of it', () => {
    expect(tables.map(([name]) => name).sort()).toEqual([
      'agreementTable',
      'biasTable',
      'checksTable',
      'confusionTable',
      'evidenceTable',
      'floodsTable',
      'influenceTable',
      'leadCurveTable',
      'lookValuesTable',
      'nextLooksTable',
      'pairsTable',
      'ratesTable',
      'reliabilityTable',
      'residualsTable',
      'ruleCostsTable',
      'rulesTable',
      'sensitivityTable',
      'skillTable',
      'suspectsTable',
      'withoutTable',
    ]);
  });

  it.each(tables)('%s of a creek where nothing was fitted has no row without a reason', (name, make) => {
    const rows = make(fixtureTrust(chart, unfitted)).rows.length;
    // What was counted and which checks failed is known without any fit; so is who saw what together.
    const known = ['evidenceTable', 'checksTable', 'agreementTable', 'pairsTable'];
    if (!known.includes(name)) expect(rows).toBe(0);
  });

  it('carry the numbers of the judgement', () => {
    const judgement = trust.runs[0]!.gauges[0]!;
    const own = <Row extends all.TrustKey>(rows: readonly Row[]) =>
      rows.filter(({ run, gauge }) => run === judgement.run && gauge === judgement.gauge);
    const skill = own(all.skillTable(trust).rows).find(
      ({ way, score, against }) => way === 'effective' && score === 'skill' && against === 'frequencies',
    )!;
    const { value, i80 } = judgement.scores!.ways[0]!.skill.againstFrequencies;
    expect([skill.value, skill.low80, skill.high80]).toEqual([value, ...i80]);
    expect(own(all.residualsTable(trust).rows).length).toBe(judgement.shift.residuals.length);
    const seen = own(all.confusionTable(trust).rows).reduce((sum, { verdicts }) => sum + verdicts, 0);
    expect(seen).toBe(judgement.scores!.confusion.table.flat().reduce((a, b) => a + b, 0));
  });
});
