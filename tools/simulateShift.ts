import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { tallyShift, type ShiftTally } from './shift/tallyShift.js';
import type { History } from './shift/simulateHistory.js';

/*
 * How often a stable creek is said to have moved, and a moved one found: npx tsx tools/simulateShift.ts [--histories 400] [--out validation/shift.json]
 * Twenty minutes on one core; same histories, same bytes.
 */
const { values } = parseArgs({
  options: { histories: { type: 'string', default: '400' }, out: { type: 'string', default: 'validation/shift.json' } },
});
const histories = Number(values.histories);
if (!Number.isInteger(histories) || !(histories > 0))
  throw new RangeError(`simulateShift: --histories must be a positive whole number, got ${values.histories}`);

const usual = { visitsEachSide: 40, mismatch: 0.25, floodShare: 0.5 };
const hard = { visitsEachSide: 40, mismatch: 0.4, floodShare: 0.8 };
const worlds: readonly (Omit<History, 'seed'> & { readonly share: number })[] = [
  { ...usual, step: 0, share: 1 },
  { ...usual, step: 0.5, share: 1 },
  { ...hard, step: 0, share: 0.25 },
  { ...hard, step: 0.5, share: 0.25 },
];
const rows: (Omit<History, 'seed'> & ShiftTally)[] = [];
worlds.forEach(({ share, ...world }, w) => {
  const tally = tallyShift(world, {
    histories: Math.ceil(histories * share),
    firstSeed: 1 + 100_000 * w,
    onHistory: (done) => {
      if (done % 50 === 0) console.log(`world ${w + 1} of ${worlds.length}: ${done} histories`);
    },
  });
  rows.push({ ...world, ...tally });
  console.log(JSON.stringify(rows[w]));
});
const summary = {
  what: 'Simulated histories, one step of the relation (ln units) half way or none, judged by shiftOf; two features of five classes, blur 0.15, three observers, 1 to 3 visits a flood',
  command: `npx tsx tools/simulateShift.ts --histories ${histories}`,
  worlds: rows,
};
writeFileSync(values.out, `${JSON.stringify(summary, null, 2)}\n`);
