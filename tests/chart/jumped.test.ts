import { describe, expect, it } from 'vitest';
import { makeWorld } from '../fit/world.js';
import { chartNow, inputOf } from './chartCreekCases.js';

const world = makeWorld({ seed: 31, visits: 12, days: 60 });
const options = { draws: 40, seed: 1, lagHours: { min: 2, max: 3 }, storageHours: { min: 0, max: 0 } } as const;
/** The chart of a record whose unit or zero jumped at a moment; readings before it are gone where it was split. */
function charted(timeMs: number, { split }: { split: boolean }) {
  const { timesMs, values } = world.record;
  const record = {
    ...world.record,
    jumps: [{ timeMs, before: 1.93, after: 7.92 }],
    values: values.map((value, i) => (split && timesMs[i]! < timeMs ? NaN : value)),
  };
  return chartNow(inputOf({ ...world, record }), options).runs[0]!.gauges[0]!;
}

describe('a jump that was noticed', () => {
  const last = world.record.timesMs.at(-1)!;

  it('stands first among the reasons where no level can be given', () => {
    const { level, trust } = charted(last, { split: true });
    expect(level).toBeUndefined();
    expect(trust.reasons[0]).toMatch(
      /^The record jumped from 1\.93 to 7\.92 on .+: only readings since then are used\.$/,
    );
  });

  it('stands in the sentence on how to read the gauge where one is', () => {
    const { level } = charted(last, { split: false });
    expect(level!.howToRead).toMatch(/The record jumped from 1\.93 to 7\.92 on .+ used together\./);
  });
});
