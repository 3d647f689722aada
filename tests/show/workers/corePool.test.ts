import { afterAll, describe, expect, it } from 'vitest';
import { fitCreek } from '../../../src/chart/fitCreek.js';
import { creekChart } from '../../../src/chart/creekChart.js';
import { planGauges, planRankings } from '../../../src/chart/gauges/planGauges.js';
import { runHere, type Runner } from '../../../src/chart/jobs.js';
import { planRelation } from '../../../src/judge/refits/planRelation.js';
import { corePool as poolFromSources } from '../../../src/show/workers/corePool.js';
import { fittedNow, inputOf } from '../../chart/chartCreekCases.js';
import { gaugesCreek, SMALL } from '../../chart/gauges/gaugesCreek.js';
import { makeWorld } from '../../fit/world.js';
import { smallRelation } from '../../judge/refits/smallRelation.js';

/** The built module: workers start from files that Node can read. `npm test` builds first. */
const { corePool } = (await import(
  new URL('../../../dist/show/workers/corePool.js', import.meta.url).href
)) as typeof import('../../../src/show/workers/corePool.js');

const relation = (seed: number) =>
  planRelation(smallRelation({ seed, visits: 9, days: 60 }), { seed: 5, depth: 'floods' });
const given = [3, 4].map(relation).map((plan) => ({ ...plan, tasks: plan.tasks.slice(0, 4) }));
const total = given.reduce((sum, { tasks }) => sum + 1 + tasks.length, 0);
const here = await runHere(given);
const pools = [corePool({ cores: 2 })];
afterAll(() => Promise.all(pools.map((pool) => pool.stop())));
const two = pools[0]!;
const fresh = (cores: number) => {
  const pool = corePool({ cores });
  pools.push(pool);
  return pool;
};

describe('corePool', () => {
  it.each([1, 2, 3])('%i cores give what one process gives, without a listener and twice in a row', async (cores) => {
    const { run } = cores === 2 ? two : fresh(cores);
    expect(await run(given)).toEqual(here);
    expect(await run(given)).toEqual(here);
  });

  it('from sources it works in this process', async () => {
    expect(await poolFromSources({ cores: 2 }).run(given.slice(1))).toEqual(here.slice(1));
  });

  it.each<[string, Runner]>([
    ['on cores', two.run],
    ['in this process', runHere],
  ])('%s every step is counted once and named', async (_, run) => {
    const said: { done: number; total: number; label: string }[] = [];
    await run(given, { onProgress: (progress) => said.push(progress) });
    expect(said.map(({ done }) => done)).toEqual(Array.from({ length: total }, (_, i) => i + 1));
    const names = given.flatMap(({ context, tasks }) =>
      ['start', ...tasks.map(({ id }) => id)].map((id) => `${context.label}: ${id}`),
    );
    expect(said.map(({ label }) => label).sort()).toEqual(names.sort());
    expect(said.every((step) => step.total === total)).toBe(true);
  });

  it('fits are the same from two workers', async () => {
    const world = makeWorld({ seed: 7, visits: 10, days: 60 });
    const records = ['a', 'b', 'dead', 'dead too'].map((gauge) => ({
      ...world.record,
      gauge,
      ...(gauge.startsWith('dead') && { values: world.record.values.map(() => 1) }),
    }));
    const input = { ...inputOf(world), records };
    const options = { draws: 50, lagHours: { min: 2, max: 3 }, storageHours: { min: 0, max: 0 } };
    expect(await fitCreek(input, { ...options, runner: two.run })).toEqual(fittedNow(input, options));
  });

  it('does the tasks of a creek’s gauges beside the others, each list of results for its plan', async () => {
    const bounds = { draws: 60, lagHours: { min: 2, max: 4 }, storageHours: { min: 0, max: 0 } };
    const fitted = fittedNow(gaugesCreek({ visits: 12, days: 60 }), { ...SMALL, ...bounds });
    const lag = { kind: 'flow-lag', id: 'lag and flow', run: 'gorge', gauge: 'weir', storageHours: 0 } as const;
    const { context } = planGauges(fitted, creekChart(fitted));
    const plan = { kind: 'gauges-plan', context, tasks: [...planRankings(fitted).tasks, lag] } as const;
    const [compared, judged] = await two.run([plan, given[1]!]);
    expect(judged).toEqual(here[1]);
    expect(compared.map(({ kind }) => kind)).toEqual(['rank', 'flow-lag']);
    expect([compared]).toEqual(await runHere([plan]));
  });

  const broken = { ...given[0]!, tasks: [...given[0]!.tasks, { kind: 'span', id: 'before', span: 'before' } as const] };
  it.each<[string, Runner]>([
    ['on cores', fresh(2).run],
    ['in this process', runHere],
  ])('%s an error names its task', async (_, run) => {
    await expect(run([broken])).rejects.toThrow(/: before: .*null/);
  });

  it.each<[string, Runner]>([
    ['on cores', fresh(2).run],
    ['in this process', runHere],
  ])('%s it rejects with what its listener throws', async (_, run) => {
    const onProgress = (): void => {
      throw new Error('the listener fell over');
    };
    await expect(run(given, { onProgress })).rejects.toThrow('the listener fell over');
  });

  it.each<[string, Runner]>([
    ['on cores', fresh(2).run],
    ['in this process', runHere],
  ])('%s no step counts any more once it is aborted, and no run begins', async (_, run) => {
    const stop = new AbortController();
    const done: number[] = [];
    const onProgress = (progress: { done: number }): void => {
      done.push(progress.done);
      if (progress.done === 2) stop.abort(new Error('somebody left'));
    };
    await expect(run(given, { signal: stop.signal, onProgress })).rejects.toThrow('somebody left');
    await expect(run(given, { signal: stop.signal, onProgress })).rejects.toThrow('somebody left');
    expect(done).toEqual([1, 2]);
  });

  it('a pool that failed starts anew', async () => {
    const pool = fresh(2);
    await expect(pool.run([broken])).rejects.toThrow('before');
    expect(await pool.run(given)).toEqual(here);
  });

  it('asks for a whole number of cores', () => {
    for (const cores of [0, 1.5])
      expect(() => corePool({ cores })).toThrow(`corePool: cores must be a whole number above 0, got ${cores}`);
  });

  it('nothing to do is nothing done', async () => {
    expect(await two.run([])).toEqual([]);
  });
});
