import fc from 'fast-check';
import { describe, it } from 'vitest';
import { PROPERTIES } from './fuzzReaders.js';

/*
 * Whatever the bytes: values or issues, never a throw without file and row, never a hang, never a row that is neither used nor listed. The same properties
 * with many more runs and other seeds: npm run fuzz.
 */
describe('readers under any input', () => {
  for (const { name, property } of PROPERTIES)
    it(name, () => {
      fc.assert(property() as fc.IProperty<[unknown]>, { seed: 20_310_503, numRuns: 120 });
    });
});
