import { describe, expect, it } from 'vitest';
import { runOnCores as runFromSources } from '../../../src/show/workers/runOnCores.js';
import { runJudgeTasks } from '../../../src/judge/refits/runJudgeTasks.js';
import { planRelation } from '../../../src/judge/refits/planRelation.js';
import type { RelationPlan } from '../../../src/judge/refits/types.js';
import { planGauges } from '../../../src/chart/gauges/planGauges.js';
import { gaugesCraft } from '../../../src/chart/gauges/runGaugesTask.js';
import { runTasks } from '../../../src/judge/refits/runTasks.js';
import { gaugesCreek, SMALL } from '../../chart/gauges/gaugesCreek.js';
import { fitCreek, gatherFits, planFits } from '../../../src/chart/fitCreek.js';
import { gatherJudged, judgeFitted, judgementsOf, planJudgements, planShifts } from '../../../src/chart/judgeCreek.js';
import { inputOf } from '../../chart/chartCreekCases.js';
import { makeWorld } from '../../fit/world.js';
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

  it('fits and judgements of relations are the same from two workers', async () => {
    const world = makeWorld({ seed: 7, visits: 10, days: 60 });
    const dead = world.record.values.map(() => 1);
    const records = ['a', 'b', 'dead', 'dead too'].map((gauge) => ({
      ...world.record,
      gauge,
      ...(gauge.startsWith('dead') && { values: dead }),
    }));
    const input = { ...inputOf(world), records };
    const options = { draws: 50, lagHours: { min: 2, max: 3 }, storageHours: { min: 0, max: 0 } };
    const fits = planFits(input, options);
    const [fitted] = await runOnCores([fits], { cores: 2 });
    const creek = gatherFits(input, fits, { fitted, options });
    expect(creek).toEqual(fitCreek(input, options));
    const here = judgeFitted(creek);
    const first = judgementsOf(creek, here.trust);
    const [shifts, judged] = await runOnCores([planShifts(creek, first), planJudgements(creek)], { cores: 2 });
    expect(shifts.map(({ kind, at }) => [kind, at])).toEqual([
      ['shift', 0],
      ['shift', 1],
    ]);
    expect(gatherJudged(creek, judged)).toEqual(here);
  });

  it('an error names its task, and no worker stays behind', async () => {
    const [plan] = given;
    const broken = {
      ...plan,
      tasks: [...plan.tasks.slice(0, 3), { kind: 'span', id: 'before', span: 'before' } as const],
    };
    await expect(runOnCores([broken], { cores: 2 })).rejects.toThrow(/: before: .*null/);
  });

  it('does the tasks of a creek’s gauges beside the others, each list of results for its plan', async () => {
    const input = gaugesCreek({ visits: 12, days: 60 });
    const fitted = fitCreek(input, {
      ...SMALL,
      draws: 60,
      lagHours: { min: 2, max: 4 },
      storageHours: { min: 0, max: 0 },
    });
    const { chart } = judgeFitted(fitted);
    const gaugesPlan = planGauges(fitted, chart);
    const tasks = gaugesPlan.tasks
      .slice(0, 1)
      .concat({ kind: 'flow-lag', id: 'lag and flow', run: 'gorge', gauge: 'weir', storageHours: 0 });
    const plan = { ...gaugesPlan, tasks };
    const [compared, judged] = await runOnCores([plan, given[1]], { cores: 2 });
    expect(judged).toEqual(here[1]);
    expect(compared.map(({ kind }) => kind)).toEqual(['rank', 'flow-lag']);
    expect(compared).toEqual(runTasks([plan], () => gaugesCraft)[0]);
  });

  it('rejects with what its listener throws, and stops', async () => {
    const onProgress = (): void => {
      throw new Error('the listener fell over');
    };
    await expect(runOnCores(given, { cores: 2, onProgress })).rejects.toThrow('the listener fell over');
  });

  it('stops its workers and says why once it is aborted', async () => {
    const stop = new AbortController();
    const done: number[] = [];
    const running = runOnCores(given, {
      cores: 2,
      signal: stop.signal,
      onProgress: (progress) => {
        done.push(progress.done);
        stop.abort(new Error('somebody left'));
      },
    });
    await expect(running).rejects.toThrow('somebody left');
    expect(done).toEqual([1]);
    await expect(runOnCores(given, { signal: stop.signal })).rejects.toThrow('somebody left');
  });

  it('in this process it begins no further task once it is aborted', async () => {
    const stop = new AbortController();
    const done: number[] = [];
    const running = runFromSources(given, {
      signal: stop.signal,
      onProgress: (progress) => {
        done.push(progress.done);
        if (progress.done === 2) stop.abort(new Error('somebody left'));
      },
    });
    await expect(running).rejects.toThrow('somebody left');
    expect(done).toEqual([1, 2]);
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
