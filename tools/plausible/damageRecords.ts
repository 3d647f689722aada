import { createRandom } from '../../src/kernel/random.js';
import { plausibleRecord, type Plausible } from '../../src/read/plausibleRecord.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';

/** What is done to a record from one of its readings on (`lasts`), or to that reading alone. */
interface Damage {
  readonly name: string;
  readonly only?: GaugeRecord['parameter'];
  readonly lasts: boolean;
  readonly to: (value: number) => number;
}

const DAMAGES: readonly Damage[] = [
  { name: 'unit / 35.3147', only: 'discharge', lasts: true, to: (v) => v / 35.3147 },
  { name: 'unit * 1000', lasts: true, to: (v) => v * 1000 },
  { name: 'unit * 10', lasts: true, to: (v) => v * 10 },
  { name: 'unit / 3.28084', only: 'stage', lasts: true, to: (v) => v / 3.28084 },
  { name: 'zero + 6 m', only: 'stage', lasts: true, to: (v) => v + 6 },
  { name: 'zero + 1 m', only: 'stage', lasts: true, to: (v) => v + 1 },
  { name: 'zero - 0.3 m', only: 'stage', lasts: true, to: (v) => v - 0.3 },
  { name: '99999', lasts: false, to: () => 99999 },
  { name: 'spike * 100', lasts: false, to: (v) => v * 100 },
];

const MARGIN_MS = 12 * 86_400_000;

/** How often each kind of damage is noticed, at seeded places of a record that are not within twelve days of its ends. */
export function damageRecord(record: GaugeRecord, { places, seed }: { places: number; seed: number }) {
  const random = createRandom(seed);
  const { timesMs, values, parameter } = record;
  const [first, last] = [timesMs[0] + MARGIN_MS, timesMs[timesMs.length - 1] - MARGIN_MS];
  const inside = Array.from(values.keys()).filter(
    (i) => values[i] === values[i] && values[i - 1] === values[i - 1] && timesMs[i] > first && timesMs[i] < last,
  );
  if (inside.length === 0) return [];
  return DAMAGES.filter(({ only }) => only === undefined || only === parameter).map(({ name, lasts, to }) => {
    let found = 0;
    for (let n = 0; n < places; n++) {
      const at = inside[random.integer(inside.length)];
      const damaged = values.map((v, i) => (i === at || (lasts && i > at) ? to(v) : v));
      const seen = plausibleRecord({ timesMs, values: damaged, parameter });
      if (lasts ? seen.jumps.some(({ timeMs }) => timeMs === timesMs[at]) : seen.refused.includes(at)) found++;
    }
    return { damage: name, places, found };
  });
}

/** Alarms on the record as it is. */
export function alarms({ timesMs, values, parameter }: GaugeRecord) {
  const { jumps, issues } = plausibleRecord({ timesMs, values, parameter });
  const refusedOne = (issue: Plausible['issues'][number]): boolean =>
    issue.code === 'value-refused' && issue.count === undefined;
  return {
    readings: values.filter((v) => v === v).length,
    jumps: jumps.length,
    refused: issues.filter(refusedOne).length,
    repeats: issues.filter(({ code }) => code === 'values-repeat').length,
  };
}
