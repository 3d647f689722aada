import { describe, expect, it } from 'vitest';
import { runOnCores as runFromSources } from '../../../src/show/workers/runOnCores.js';
import { runJudgeTasks } from '../../../src/judge/refits/runJudgeTasks.js';
import { planRelation } from '../../../src/judge/refits/planRelation.js';
import type { RelationPlan } from '../../../src/judge/refits/types.js';
import { smallRelation } from '../../judge/refits/smallRelation.js';

/** The built module: workers start from files that Node can read. `npm test` builds first. */
const { runOnCores } = (await import(
  new URL('../../../dist/show/workers/runOnCores.js', import.meta.url).href
)) as typeof import('../../../src/show/workers/runOnCores.js');

const plans = (): RelationPlan[] => [
  planRelation(smallRelation({ seed: 3, visits: 10, days: 60 }), { seed: 5, leads: [0] }),
  planRelation(smallRelation({ seed: 4, visits: 9, days: 60 }), { seed: 5, depth: 'floods' }),
];

describe('runOnCores', () => {
  const given = plans();
  const here = runJudgeTasks(given);

  it('three workers give what one process gives, number for number', async () => {
    expect(await runOnCores(given, { cores: 3 })).toEqual(here);
  });

  it('with one core, and from sources, it works in this process', async () => {
    expect(await runOnCores(given.slice(1), { cores: 1 })).toEqual(here.slice(1));
    expect(await runFromSources(given.slice(1), { cores: 2 })).toEqual(here.slice(1));
  });

  it('two workers give the same, and every step is counted once and named', async () => {
    const said: { done: number; total: number; label: string }[] = [];
    expect(await runOnCores(given, { cores: 2, onProgress: (progress) => said.push(progress) })).toEqual(here);
    const total = given.reduce((sum, { tasks }) => sum + 1 + tasks.length, 0);
    expect(said.map(({ done }) => done)).toEqual(Array.from({ length: total }, (_, i) => i + 1));
    const names = given.flatMap(({ context, tasks }) =>
      ['start', ...tasks.map(({ id }) => id)].map((id) => `${context.label}: ${id}`),
    );
    expect(said.map(({ label }) => label).sort()).toEqual(names.sort());
    expect(said.every((step) => step.total === total)).toBe(true);
  });

  it('an error names its task, and no worker stays behind', async () => {
    const [plan] = given;
    const broken = {
      ...plan,
      tasks: [...plan.tasks.slice(0, 3), { kind: 'span', id: 'before', span: 'before' } as const],
    };
    await expect(runOnCores([broken], { cores: 2 })).rejects.toThrow(/: before: .*null/);
  });

  it('asks for a whole number of cores', async () => {
    await expect(runOnCores(given, { cores: 0 })).rejects.toThrow(
      'runOnCores: cores must be a whole number above 0, got 0',
    );
    await expect(runOnCores(given, { cores: 1.5 })).rejects.toThrow('got 1.5');
  });

  it('nothing to do is nothing done', async () => {
    expect(await runOnCores([], { cores: 4 })).toEqual([]);
  });
});
