import { describe, expect, it } from 'vitest';
import { chooseSeries } from '../../src/read/chooseSeries.js';
import type { Gauge } from '../../src/series/creek.js';
import type { RawSeries } from '../../src/series/gaugeRecord.js';
import { gauge, said, series } from './recordExample.js';

describe('chooseSeries', () => {
  const one = (key: string, more: Partial<RawSeries> = {}) => series([[0, 1]], { key, ...more });
  const choose = (all: readonly RawSeries[], more: Partial<Gauge> = {}) => {
    const { series: chosen, issues } = chooseSeries('f', all, { ...gauge, ...more });
    expect(chosen === undefined).toBe(issues.length > 0);
    return chosen?.key ?? said(issues)[0];
  };

  it('takes the only one', () => {
    expect(choose([one('a')])).toBe('a');
    expect(choose([one('a', { unitText: 'm³/s' })])).toBe('a');
  });
  it('takes the only one of the parameter, where the file tells', () => {
    const all = [
      one('q', { parameterCode: '00060', unitText: 'ft3/s' }),
      one('h', { parameterCode: '00065', unitText: 'ft' }),
      one('t', { unitText: 'degrees Celsius' }),
    ];
    expect(choose(all, { unit: 'ft3/s' })).toBe('q');
    expect(choose(all, { unit: 'ft', parameter: 'stage' })).toBe('h');
  });
  it('knows the parameter by its code where no unit is written', () => {
    const all = [
      one('q', { parameterCode: '00060' }),
      one('h', { parameterCode: '00065' }),
      one('t', { parameterCode: '00010' }),
    ];
    expect(choose(all, { unit: 'ft3/s' })).toBe('q');
    expect(choose(all)).toBe(
      "fatal f: found series 'q' in ft3/s, expected m3/s, as gauge 'big' has it in creek.json. Correct unit and parameter in creek.json, or name another series; readings are never scaled in silence.",
    );
  });
  it('several left is fatal and lists them with a line to add', () => {
    const all = [one('01 x', { site: '01', unitText: 'm3/s' }), one('02 x', { site: '02', unitText: 'm3/s' })];
    expect(choose(all)).toBe(
      'fatal f: found 2 series: \'01 x\', \'02 x\', expected one. Add series to gauge \'big\' in creek.json, for example "series": { "site": "01" }.',
    );
    expect(choose(all, { series: { site: '02' } })).toBe('02 x');
    expect(choose(all, { series: { column: '01 x' } })).toBe('01 x');
    expect(choose([one('m [0]', { site: '01' }), one('m [1]', { site: '01' })])).toContain(
      '"series": { "column": "m [0]" }',
    );
  });
  it('mean, maximum and minimum are not taken for each other', () => {
    const all = ['00001', '00002', '00003'].map((statisticCode) =>
      one(statisticCode, { site: '01', parameterCode: '00060', statisticCode }),
    );
    expect(choose(all, { unit: 'ft3/s' })).toContain('"series": { "statisticCode": "00001" }');
    expect(choose(all, { unit: 'ft3/s', series: { statisticCode: '00003' } })).toBe('00003');
  });
  it('none left is fatal and lists what there is', () => {
    expect(choose([one('a'), one('b')], { series: { site: '9', parameterCode: '00060' } })).toBe(
      "fatal f: found series 'a', 'b', expected one with site '9' and parameterCode '00060'. Correct series of gauge 'big' in creek.json.",
    );
    expect(choose([])).toBe('fatal f: found no series, expected a time series. Download the file again.');
  });
  it('another unit is fatal, also when it could be converted', () => {
    expect(choose([one('a', { unitText: 'l/s' })])).toContain("found series 'a' in l/s, expected m3/s");
    expect(choose([one('a', { unitText: 'deg C' })])).toContain("found series 'a' in deg C, expected m3/s");
  });
});
