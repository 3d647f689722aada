import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { SCREEN_RATE } from '../src/judge/screen/falseDiscovery.js';
import { stableJson } from '../src/show/write/stableJson.js';
import { tallyGauges } from './gauges/tallyGauges.js';
import { tallyRealistic } from './realistic/tallyRealistic.js';
import { tallyScreen } from './screen/tallyScreen.js';
import { tallyShift } from './shift/tallyShift.js';
import { tallyGrades } from './simulateGrade/tallyGrades.js';
import { tallyLogger } from './simulateLogger/tallyLogger.js';
import { tallyLooks } from './simulateNextLook/tallyLooks.js';
import { tallySeasons } from './simulateSeasons/tallySeasons.js';
import { STAFF_TRUTHS, type StaffTruth } from './staff/staffWorld.js';
import { tallyForms } from './staff/tallyForms.js';
import { tallySuspects } from './suspects/tallySuspects.js';
import { roundAll } from './validate/roundAll.js';

/*
 * The method held against invented worlds whose answer is known: npm run simulate -- <question> [--cases 200] [--out validation/<question>.json]
 * Each takes a few minutes to half an hour on one core; same question and cases, same bytes. `creeks`, the largest, is a command of its own with
 * checkpoints: tools/simulate/creeks.ts.
 */
interface Question {
  /** How many worlds make the committed summary. */
  readonly cases: number;
  /** What the worlds are, for the reader of the summary. */
  readonly what: string;
  readonly ask: (cases: number, tell: (done: number) => void) => object | Promise<object>;
}

/** One tally a plan, with seeds that no other plan uses; `share` of the cases each. */
const byPlan = <Plan extends { readonly share: number }, Tally extends object>(
  plans: readonly Plan[],
  tally: (plan: Omit<Plan, 'share'>, options: { cases: number; firstSeed: number }) => Tally,
) =>
  plans.map(({ share, ...plan }, p) => (cases: number) => ({
    ...plan,
    ...tally(plan, { cases: Math.ceil(cases * share), firstSeed: 1 + 100_000 * p }),
  }));

const QUESTIONS: Readonly<Record<string, Question>> = {
  gauges: {
    cases: 200,
    what: 'Invented creeks of 900 days, mismatch 0.3, blur 0.12, one verdict of five classes a visit; noise gauges share the seasons and have weather of their own; ranked by rankGauges at lead 0 with 150 draws',
    ask: (cases, tell) => ({
      plans: byPlan(
        [
          { kind: 'right', visits: 40, noise: 10, combine: 2, share: 1 },
          { kind: 'right', visits: 20, noise: 10, combine: 0, share: 1 },
          { kind: 'none', visits: 40, noise: 11, combine: 3, share: 0.3 },
          { kind: 'two', visits: 40, noise: 3, combine: 3, share: 0.3 },
        ] as const,
        ({ combine, ...world }, { cases: worlds, firstSeed }) =>
          tallyGauges(world, { worlds, firstSeed, combine, onWorld: tell }),
      ).map((row) => row(cases)),
    }),
  },
  shift: {
    cases: 400,
    what: 'Simulated histories, one step of the relation (ln units) half way or none, judged by shiftOf; two features of five classes, blur 0.15, three observers, 1 to 3 visits a flood',
    ask: (cases, tell) => ({
      worlds: byPlan(
        [
          { visitsEachSide: 40, mismatch: 0.25, floodShare: 0.5, step: 0, share: 1 },
          { visitsEachSide: 40, mismatch: 0.25, floodShare: 0.5, step: 0.5, share: 1 },
          { visitsEachSide: 40, mismatch: 0.4, floodShare: 0.8, step: 0, share: 0.25 },
          { visitsEachSide: 40, mismatch: 0.4, floodShare: 0.8, step: 0.5, share: 0.25 },
        ],
        (world, { cases: histories, firstSeed }) => tallyShift(world, { histories, firstSeed, onHistory: tell }),
      ).map((row) => row(cases)),
    }),
  },
  grade: {
    cases: 480,
    what: 'Invented worlds (gauges that know the creek well, middling, badly, or share the seasons only), 30 to 100 visits, graded with all visits and with fewer: a third or two thirds at random, the first two thirds in time, two thirds of the floods',
    ask: (cases, tell) => tallyGrades(cases, { firstSeed: 1001, onCase: tell }),
  },
  suspects: {
    cases: 60,
    what: 'Simulated logs of 80 visits, 5 % of them written down 12 or 24 hours off; verdict and one feature of five classes',
    ask: (cases) => tallySuspects(cases, { firstSeed: 1001, wrong: 0.05 }),
  },
  logger: {
    cases: 80,
    what: 'Simulated creeks (lag 0 to 8 h, storage -12 to 18 h) with 25 visits, charted by the visits alone, with five weeks of a logger 1.5 km down the run, and with a logger whose weeks ran 3 h later than the visits',
    ask: (cases, tell) => ({
      visits: 25,
      charts: tallyLogger(cases, { visits: 25, firstSeed: 7001, onCreek: tell }),
    }),
  },
  seasons: {
    cases: 300,
    what: 'Two rivers with one season (snowmelt or monsoon, 1.2 ln units) and their own weather; 25 to 80 visits in one to four years, graded by the better of both ways of reading',
    ask: (cases, tell) => tallySeasons(cases, { firstSeed: 5001, onCase: tell }),
  },
  'next-look': {
    cases: 300,
    what: 'Invented creeks with 20 visits as people make them, then 10 more: by the first look advised (fitted anew after every 2), at random times of the record, or as people go (the more water the likelier). 80 % intervals of the two edges of good, ln scale',
    ask: (cases, tell) => tallyLooks(cases, { firstSeed: 1001, onCreek: tell }),
  },
  realistic: {
    cases: 200,
    what: 'Two basins under shared and own rain, each routed in its own way; a drift of 0.2 ln units over six weeks and an error shared by a flood; three observers, a verdict of five classes, 25 times likelier logged when it runs, one word in fifty any word. Edges of the single reading against a probit line through three years of daylight: those of all days with all hours alike, those of logged days as visits are drawn; what the log of one year states against the two years after',
    ask: (cases, tell) => ({
      plans: [25, 40, 80].map((visits) => tallyRealistic(cases, { visits, firstSeed: 11_001, onCreek: tell })),
    }),
  },
  screen: {
    cases: 200,
    what: 'Runs of one country with one season (1.2 ln units), 25, 40 or 80 visits in three years, against 500 gauges with weather of their own: none tells of the run, or one does (four hours later, and a third of a river more). What passes the first look is fitted, and recommended with a grade that somebody may plan with',
    ask: async (cases, tell) => {
      const of = (season: 'snowmelt' | 'monsoon') =>
        tallyScreen(cases, { gauges: 500, season, firstSeed: 31_001, onRun: tell });
      return { rate: SCREEN_RATE, worlds: [await of('snowmelt'), await of('monsoon')] };
    },
  },
  staff: {
    cases: 100,
    what: 'Simulated staffs beside a gauge (mismatch 0.15), each a form known: how many logs took which form',
    ask: (logs) => ({
      rows: (Object.keys(STAFF_TRUTHS) as StaffTruth[]).flatMap((truth) =>
        [30, 60].map((readings) => ({ truth, readings, logs, taken: tallyForms(truth, { readings, logs }) })),
      ),
    }),
  },
};

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { cases: { type: 'string' }, out: { type: 'string' } },
});
const name = positionals[0] ?? '';
const question = QUESTIONS[name];
if (question === undefined)
  throw new RangeError(`simulate: unknown question '${name}', expected one of ${Object.keys(QUESTIONS).join(', ')}`);
const cases = Number(values.cases ?? question.cases);
if (!Number.isInteger(cases) || !(cases > 0))
  throw new RangeError(`simulate: --cases must be a positive whole number, got ${values.cases}`);
const answer = await question.ask(cases, (done) => {
  if (done % 20 === 0) console.error(`${done} worlds`);
});
const command = `npm run simulate -- ${name}${cases === question.cases ? '' : ` --cases ${cases}`}`;
const file = values.out ?? `validation/${name}.json`;
writeFileSync(file, stableJson(roundAll({ what: question.what, command, ...answer })));
console.log(`Written to ${file}.`);
