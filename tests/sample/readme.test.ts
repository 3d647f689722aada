import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { LOGGER } from '../../tools/sample/clubLogger.js';
import { BROOK_TO_LARGER, DERIVED_GAUGE, OBSERVERS, RUNS, STAFF } from '../../tools/sample/place.js';
import { truthTable } from '../../tools/sample/readme.js';
import type { Truth } from '../../tools/sample/truth.js';

const FOLDER = join(import.meta.dirname, '../../data-sample');
const readme = readFileSync(join(FOLDER, 'README.md'), 'utf8');

describe('data-sample/README.md', () => {
  it('shows the table of truth.json', () => {
    const truth = JSON.parse(readFileSync(join(FOLDER, 'truth.json'), 'utf8')) as Truth;
    expect(readme).toContain(truthTable(truth));
  });

  it('quotes the edges, the staff and the biases that the generator uses', () => {
    for (const { edgesM3s } of RUNS)
      expect(readme).toContain(`${edgesM3s.slice(0, -1).join(', ')} and ${edgesM3s[edgesM3s.length - 1]} m³/s`);
    const { baseCm, scaleCm, referenceM3s, exponent, noiseCm } = STAFF;
    expect(readme).toContain(`${baseCm} + ${scaleCm} · (Q / ${referenceM3s})^${exponent} cm ± ${noiseCm}`);
    const { baseM, scaleM, noiseM, wanderM } = LOGGER;
    expect(readme).toContain(
      `${baseM} + ${scaleM} · √(Q / ${referenceM3s}) m over its own zero, give or take ${1000 * noiseM} mm, and ${1000 * wanderM} mm of silt`,
    );
    expect(LOGGER.exponent).toBe(0.5);
    expect(readme).toContain(
      `${DERIVED_GAUGE.name} is the larger river's reading less the brook's of ${BROOK_TO_LARGER} h before`,
    );
    const biases = OBSERVERS.map((o) => o.bias);
    expect(readme).toContain(`between −${-Math.min(...biases)} and +${Math.max(...biases)}`);
  });
});
