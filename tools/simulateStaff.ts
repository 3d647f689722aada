import { writeFileSync } from 'node:fs';
import { stableJson } from '../src/show/write/stableJson.js';
import { STAFF_TRUTHS, type StaffTruth } from './staff/staffWorld.js';
import { tallyForms } from './staff/tallyForms.js';

/*
 * Which form the evidence takes for a staff whose form is known: one power law, one whose scatter grows with the height, two that meet at a break:
 * npx tsx tools/simulateStaff.ts
 * Some two minutes on one core; writes validation/staff.json, same logs, same bytes.
 */
const LOGS = 100;
const READINGS = [30, 60];

const rows = (Object.keys(STAFF_TRUTHS) as StaffTruth[]).flatMap((truth) =>
  READINGS.map((readings) => {
    const taken = tallyForms(truth, { readings, logs: LOGS });
    console.error(truth, readings, JSON.stringify(taken));
    return { truth, readings, logs: LOGS, taken };
  }),
);
writeFileSync(
  new URL('../validation/staff.json', import.meta.url),
  stableJson({
    what: 'Simulated staffs beside a gauge (mismatch 0.15), each a form known: how many logs took which form',
    command: 'npx tsx tools/simulateStaff.ts',
    rows,
  }),
);
