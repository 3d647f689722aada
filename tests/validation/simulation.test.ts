import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { fitCreek } from '../../tools/simulate/fitCreek.js';
import { makeCreek } from '../../tools/simulate/makeCreek.js';
import { coverage } from '../../tools/simulate/summarise.js';

/** The small twin of `npm run simulate`: the model's own world, 12 creeks of 60 visits. */
const outcomes = Array.from({ length: 12 }, (_, i) => fitCreek('model', { visits: 60, seed: 500 + i, draws: 400 }));

describe('intervals on simulated creeks', () => {
  it('hold the true edges about as often as they say', () => {
    const { in80, in95, cases } = coverage(outcomes.flatMap((o) => o.edges));
    expect(cases).toBe(48);
    // Edges of one creek move together: the bounds are those of about 24 independent ones, three standard errors.
    expect(in80).toBeGreaterThanOrEqual(0.8 - 3 * Math.sqrt((0.8 * 0.2) / 24));
    expect(in95).toBeGreaterThanOrEqual(0.95 - 3 * Math.sqrt((0.95 * 0.05) / 24));
    // And they are no wider than they need to be: intervals of half the width would miss often.
    const half = outcomes.flatMap((o) => o.edges).filter((e) => Math.abs(e.error) <= e.width80 / 4).length / cases;
    expect(half).toBeLessThan(0.72);
  });

  it('find the lag', () => {
    expect(outcomes.filter((o) => Math.abs(o.lag.error) <= 1).length).toBeGreaterThanOrEqual(8);
    expect(coverage(outcomes.map((o) => o.lag)).in95).toBeGreaterThanOrEqual(0.75);
  });
});

describe('makeCreek', () => {
  it('makes the same creek from the same seed, another from another', () => {
    const one = makeCreek('model', { visits: 25, seed: 3 });
    expect(makeCreek('model', { visits: 25, seed: 3 })).toEqual(one);
    expect(makeCreek('model', { visits: 25, seed: 4 }).truth).not.toEqual(one.truth);
  });

  it('logs as many visits as asked, at least six hours apart, few of them too low', () => {
    const { visits } = makeCreek('model', { visits: 80, seed: 9 });
    expect(visits).toHaveLength(80);
    for (let i = 1; i < visits.length; i++)
      expect(visits[i].timeMs - visits[i - 1].timeMs).toBeGreaterThanOrEqual(6 * 3_600_000);
  });
});

interface Block {
  readonly in80: number;
  readonly in95: number;
  readonly least80: number;
  readonly least95: number;
}

describe('validation/simulation.json', () => {
  it('holds the full run: edges, lag and storage cover within chance in the world that keeps the assumptions', () => {
    const { worlds, creeksPerBlock } = JSON.parse(
      readFileSync(new URL('../../validation/simulation.json', import.meta.url), 'utf8'),
    ) as {
      creeksPerBlock: number;
      worlds: Record<string, Record<string, { edges: Record<string, Block>; lag: Block; storage: Block }>>;
    };
    expect(creeksPerBlock).toBe(200);
    // The world drawn from the very priors holds creeks whose every visit saw one class, and the broken one breaks the model: both are reported.
    for (const world of ['model'])
      for (const [visits, block] of Object.entries(worlds[world]))
        for (const [name, b] of [...Object.entries(block.edges), ['lag', block.lag], ['storage', block.storage]] as [
          string,
          Block,
        ][]) {
          expect(b.in80, `${world}, ${visits}, ${name}, 80 %`).toBeGreaterThanOrEqual(b.least80);
          expect(b.in95, `${world}, ${visits}, ${name}, 95 %`).toBeGreaterThanOrEqual(b.least95);
        }
  });
});
