import { afterAll, describe, expect, it } from 'vitest';
import { runHere } from '../../../src/chart/jobs.js';
import { planGauges, planRankings } from '../../../src/chart/gauges/planGauges.js';
import { runGaugesTask } from '../../../src/chart/gauges/runGaugesTask.js';
import { fitCreek } from '../../../src/chart/fitCreek.js';
import { creekChart } from '../../../src/chart/creekChart.js';
import { planRelation } from '../../../src/judge/refits/planRelation.js';
import { runRefits } from '../../../src/judge/refits/refitRelation.js';
import type { RelationPlan } from '../../../src/judge/refits/types.js';
import { corePool as poolFromSources } from '../../../src/show/workers/corePool.js';
import { fittedNow, inputOf } from '../../chart/chartCreekCases.js';
import { gaugesCreek, SMALL } from '../../chart/gauges/gaugesCreek.js';
import { makeWorld } from '../../fit/world.js';
import { smallRelation } from '../../judge/refits/smallRelation.js';

/** The built module: workers start from files that Node can read. `npm test` builds first. */
const { corePool } = (await import(
  new URL('../../../dist/show/workers/corePool.js', import.meta.url).href
)) as typeof import('../../../src/show/workers/corePool.js');

const given: readonly RelationPlan[] = [
  planRelation(smallRelation({ seed: 3, visits: 10, days: 60 }), { seed: 5, leads: [0] }),
  planRelation(smallRelation({ seed: 4, visits: 9, days: 60 }), { seed: 5, depth: 'floods' }),
];
const here = given.map(runRefits);
const pools = [corePool({ cores: 2 })];
afterAll(() => Promise.all(pools.map((pool) => pool.stop())));
const two = pools[0]!;
const fresh = () => {
  const pool = corePool({ cores: 2 });
  pools.push(pool);
  return pool;
};

describe('corePool', () => {
  it('three workers give what one process gives, number for number', async () => {
    const three = corePool({ cores: 3 });
    expect(await three.run(given)).toEqual(here);
    await three.stop();
  });

  it('with one core, and from sources, it works in this process', async () => {
    expect(await corePool({ cores: 1 }).run(given.slice(1))).toEqual(here.slice(1));
    expect(await poolFromSources({ cores: 2 }).run(given.slice(1))).toEqual(here.slice(1));
  });

  it('two workers give the same, again and again, and every step is counted once and named', async () => {
    expect(await two.run(given)).toEqual(here);
    const said: { done: number; total: number; label: string }[] = [];
    expect(await two.run(given, { onProgress: (progress) => said.push(progress) })).toEqual(here);
    const total = given.reduce((sum, { tasks }) => sum + 1 + tasks.length, 0);
    expect(said.map(({ done }) => done)).toEqual(Array.from({ length: total }, (_, i) => i + 1));
    const names = given.flatMap(({ context, tasks }) =>
      ['start', ...tasks.map(({ id }) => id)].map((id) => `${context.label}: ${id}`),
    );
    expect(said.map(({ label }) => label).sort()).toEqual(names.sort());
    expect(said.every((step) => step.total === total)).toBe(true);
  });

  it('fits and first judgements are the same from two workers', async () => {
    const world = makeWorld({ seed: 7, visits: 10, days: 60 });
    const dead = world.record.values.map(() => 1);
    const records = ['a', 'b', 'dead', 'dead too'].map((gauge) => ({
      ...world.record,
      gauge,
      ...(gauge.startsWith('dead') && { values: dead }),
    }));
    const input = { ...inputOf(world), records };
    const options = { draws: 50, lagHours: { min: 2, max: 3 }, storageHours: { min: 0, max: 0 } };
    expect(await fitCreek(input, { ...options, runner: two.run })).toEqual(fittedNow(input, options));
  });

  it('does the tasks of a creek’s gauges beside the others, each list of results for its plan', async () => {
    const input = gaugesCreek({ visits: 12, days: 60 });
    const fitted = fittedNow(input, {
      ...SMALL,
      draws: 60,
      lagHours: { min: 2, max: 4 },
      storageHours: { min: 0, max: 0 },
    });
    const lag = { kind: 'flow-lag', id: 'lag and flow', run: 'gorge', gauge: 'weir', storageHours: 0 } as const;
    const { context } = planGauges(fitted, creekChart(fitted));
    const plan = { kind: 'gauges-plan', context, tasks: [...planRankings(fitted).tasks, lag] } as const;
    const [compared, judged] = await two.run([plan, given[1]!]);
    expect(judged).toEqual(here[1]);
    expect(compared.map(({ kind }) => kind)).toEqual(['rank', 'flow-lag']);
    expect(compared).toEqual(plan.tasks.map((task) => runGaugesTask(context, task)));
  });

  it('an error names its task, and no worker stays behind', async () => {
    const [plan] = given;
    const broken = {
      ...plan!,
      tasks: [...plan!.tasks.slice(0, 3), { kind: 'span', id: 'before', span: 'before' } as const],
    };
    await expect(fresh().run([broken])).rejects.toThrow(/: before: .*null/);
    await expect(runHere([broken])).rejects.toThrow(/: before: .*null/);
  });

  it('rejects with what its listener throws, and stops', async () => {
    const onProgress = (): void => {
      throw new Error('the listener fell over');
    };
    await expect(fresh().run(given, { onProgress })).rejects.toThrow('the listener fell over');
  });

  it('stops its workers and says why once it is aborted', async () => {
    const stop = new AbortController();
    const done: number[] = [];
    const pool = fresh();
    const running = pool.run(given, {
      signal: stop.signal,
      onProgress: (progress) => {
        done.push(progress.done);
        stop.abort(new Error('somebody left'));
      },
    });
    await expect(running).rejects.toThrow('somebody left');
    expect(done).toEqual([1]);
    await expect(pool.run(given, { signal: stop.signal })).rejects.toThrow('somebody left');
  });

  it('in this process it begins no further task once it is aborted', async () => {
    const stop = new AbortController();
    const done: number[] = [];
    const running = runHere(given, {
      signal: stop.signal,
      onProgress: (progress) => {
        done.push(progress.done);
        if (progress.done === 2) stop.abort(new Error('somebody left'));
      },
    });
    await expect(running).rejects.toThrow('somebody left');
    expect(done).toEqual([1, 2]);
  });

  it('asks for a whole number of cores', () => {
    expect(() => corePool({ cores: 0 })).toThrow('corePool: cores must be a whole number above 0, got 0');
    expect(() => corePool({ cores: 1.5 })).toThrow('got 1.5');
  });

  it('nothing to do is nothing done', async () => {
    expect(await two.run([])).toEqual([]);
  });
});
