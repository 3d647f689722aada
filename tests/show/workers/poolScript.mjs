/* What a pool of cores must do, asked of the built package in a process of its own: workers start from files that Node can read. */
import assert from 'node:assert/strict';

const dist = new URL('../../../dist/', import.meta.url);
const { corePool } = await import(new URL('show/workers/corePool.js', dist).href);
const { fitCreek } = await import(new URL('chart/fitCreek.js', dist).href);
const { loadCreekFolder } = await import(new URL('show/creekFolder.js', dist).href);
const { planRelation } = await import(new URL('judge/refits/planRelation.js', dist).href);

const input = loadCreekFolder(new URL('../../../data-sample', import.meta.url).pathname);
const bounds = { lagHours: { min: 2, max: 3 }, storageHours: { min: 0, max: 0 } };
const fitted = await fitCreek(input, { runs: ['lower'], gauges: ['flashy'], draws: 60, ...bounds });
const relation = { creek: fitted.creek, visits: input.visits, ...fitted.relations[0], shift: null };
const plan = planRelation(relation, { seed: 1, depth: 'floods', leads: [0] });
const pool = corePool({ cores: 3 });
const said = [];
const [one, other] = await pool.run([plan, { ...plan }], { onProgress: ({ done }) => said.push(done) });
await pool.stop();
assert.deepEqual(one, other);
assert.equal(one.length, plan.tasks.length);
assert.deepEqual(said, Array.from({ length: 2 * (plan.tasks.length + 1) }, (_, i) => i + 1));
for (const cores of [0, 1.5]) assert.throws(() => corePool({ cores }), /cores must be a whole number above 0/);
process.stdout.write('fine\n');
