import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { kaplanMeier, survivalAt } from '../../src/kernel/kaplanMeier.js';
import { expectClose } from '../expectClose.js';

const remissions = JSON.parse(
  readFileSync(new URL('../reference/survival/kaplan-meier-6mp.json', import.meta.url), 'utf8'),
) as Record<'time' | 'event' | 'at' | 'surv' | 'std_err', number[]>;

describe('kaplanMeier', () => {
  it('agrees with R survival on the remissions under 6-MP (Freireich et al. 1963), Greenwood errors too', () => {
    const { times, share, variance } = kaplanMeier(
      Float64Array.from(remissions.time),
      Uint8Array.from(remissions.event),
    );
    expect([...times]).toEqual(remissions.at);
    remissions.at.forEach((week, i) => {
      expectClose(share[i]!, remissions.surv[i]!, { rel: 1e-12, why: `share at week ${week}` });
      expectClose(Math.sqrt(variance[i]!), remissions.std_err[i]!, { rel: 1e-12, why: `error at week ${week}` });
    });
  });

  it('is one minus the share that has gone where nobody was cut off, and takes any order', () => {
    const survival = kaplanMeier(Float64Array.of(3, 1, 2, 2), Uint8Array.of(1, 1, 1, 1));
    expect([...survival.times]).toEqual([1, 2, 3]);
    expect([...survival.share]).toEqual([0.75, 0.25, 0]);
    // Binomial: 0.75 · 0.25 / 4; nothing is left to vary at the end.
    expectClose(survival.variance[0]!, 0.046875, { rel: 1e-14, why: 'binomial' });
    expect(survival.variance[2]).toBe(0);
    expect([0.5, 1, 2.5, 9].map((t) => survivalAt(survival, t))).toEqual([1, 0.75, 0.25, 0]);
  });

  it('never falls where the event was never met', () => {
    const survival = kaplanMeier(Float64Array.of(5, 6), Uint8Array.of(0, 0));
    expect(survival.times).toHaveLength(0);
    expect(survivalAt(survival, 100)).toBe(1);
  });
});
