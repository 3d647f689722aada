import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { tallyForms } from '../../tools/staff/tallyForms.js';

const { rows } = JSON.parse(readFileSync(new URL('../../validation/staff.json', import.meta.url), 'utf8')) as {
  rows: {
    truth: string;
    readings: number;
    logs: number;
    taken: { line: number; power: number; growing: number; segments: number };
  }[];
};

describe('forms of a staff, simulated', () => {
  it('the summary takes no break and no growing scatter where there is none, and finds both with sixty readings', () => {
    expect(rows).toHaveLength(6);
    for (const { truth, readings, logs, taken } of rows) {
      expect(taken.line + taken.power + taken.growing + taken.segments).toBe(logs);
      if (truth !== 'two power laws') expect(taken.segments, truth).toBeLessThanOrEqual(0.02 * logs);
      if (truth !== 'scatter that grows') expect(taken.growing, truth).toBeLessThanOrEqual(0.02 * logs);
      if (truth === 'scatter that grows' && readings === 60) expect(taken.growing).toBeGreaterThan(0.7 * logs);
      if (truth === 'two power laws' && readings === 60) expect(taken.segments).toBeGreaterThan(0.8 * logs);
    }
  });

  it('and so does a small twin of it', () => {
    expect(tallyForms('one power law', { readings: 60, logs: 2 })).toMatchObject({ growing: 0, segments: 0 });
    expect(tallyForms('scatter that grows', { readings: 60, logs: 2 }).growing).toBeGreaterThanOrEqual(1);
    expect(tallyForms('two power laws', { readings: 60, logs: 2 }).segments).toBeGreaterThanOrEqual(1);
  });
});
