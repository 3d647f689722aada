import { expect, it } from 'vitest';
import { fitCreek } from '../../src/chart/fitCreek.js';
import { known, refuseUnknown } from '../../src/series/knownIds.js';
import type { CreekInput } from '../../src/read/types.js';

const creek = {
  runs: [{ id: 'lower' }, { id: 'upper' }],
  gauges: [{ id: 'weir' }],
  derivedGauges: [{ id: 'branch' }],
};

it('an unknown run or gauge is refused with the names that are valid; a derived gauge is one of them', () => {
  expect(() => refuseUnknown({ runs: ['upper', 'x'] }, creek)).toThrow(
    new RangeError("unknown run 'x'; creek.json has lower, upper"),
  );
  expect(() => refuseUnknown({ gauges: ['x'] }, creek)).toThrow(
    new RangeError("unknown gauge 'x'; creek.json has weir, branch"),
  );
  expect(() => refuseUnknown({ runs: ['lower'], gauges: ['branch'] }, creek)).not.toThrow();
  expect(() => known('feature', 'staff', { among: [], of: 'the fit' })).toThrow(
    "unknown feature 'staff'; the fit has none",
  );
  expect(known('run', 'upper', { among: creek.runs })).toBe(creek.runs[1]);
});

it('the pipeline refuses before it fits anything', async () => {
  const input = { creek, records: [], visits: [], issues: [], files: [] } as unknown as CreekInput;
  await expect(fitCreek(input, { gauges: ['wier'] })).rejects.toThrow(
    "unknown gauge 'wier'; creek.json has weir, branch",
  );
});
