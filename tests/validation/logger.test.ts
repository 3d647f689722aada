import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { tallyLogger } from '../../tools/simulateLogger/tallyLogger.js';

type Charts = ReturnType<typeof tallyLogger>;
const { charts, visits } = JSON.parse(
  readFileSync(new URL('../../validation/logger.json', import.meta.url), 'utf8'),
) as { charts: Charts; visits: number };
const alone = charts['visits alone'];
const helped = charts['with the logger'];
const misled = charts['with a logger of other weeks'];

/** What `npm run simulate -- logger` found. */
describe('five weeks of a logger and 25 visits', () => {
  it('the lag is known many times as well, the edges a little better, and intervals hold what they say', () => {
    expect([visits, alone.creeks, helped.creeks, misled.creeks]).toEqual([25, 80, 80, 80]);
    expect(helped.lagWidth80).toBeLessThan(0.2 * alone.lagWidth80);
    expect(helped.lagMedianError).toBeLessThan(0.3 * alone.lagMedianError);
    expect(helped.lagHeld80).toBeGreaterThan(0.75);
    expect(helped.edgeWidth80).toBeLessThan(0.95 * alone.edgeWidth80);
    expect(helped.edgeMeanError).toBeLessThan(alone.edgeMeanError);
    for (const { edgesHeld80, edgesHeld95 } of [alone, helped]) {
      expect(edgesHeld80).toBeGreaterThan(0.74);
      expect(edgesHeld95).toBeGreaterThan(0.9);
    }
  });

  it('a logger whose weeks ran three hours later misleads about the lag, and hardly about the edges', () => {
    expect(misled.lagHeld80).toBeLessThan(0.5);
    expect(misled.lagWidth80).toBeGreaterThan(2 * helped.lagWidth80);
    expect(misled.edgesHeld80).toBeGreaterThan(0.74);
    expect(misled.edgesHeld95).toBeGreaterThan(0.9);
  });
});

describe('the small twin of that simulation', () => {
  it('one creek: the logger narrows the lag', () => {
    const twin = tallyLogger(1, { firstSeed: 9001, draws: 60 });
    expect(twin['visits alone'].creeks).toBe(1);
    expect(twin['with the logger'].lagWidth80).toBeLessThan(0.9 * twin['visits alone'].lagWidth80);
    expect(twin['with the logger'].edges).toBe(twin['visits alone'].edges);
  });
});
