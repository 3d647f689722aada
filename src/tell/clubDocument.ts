import { CAUTIONS } from '../series/cautions.js';
import { counted, day, hours, rounded, share } from '../series/format.js';
import { goodRange } from './answerTexts.js';
import type { CreekAnswers } from './answersOf.js';
import { answersOf } from './answersOf.js';
import { list, type Document } from './document.js';
import { endsIn } from './levelRows.js';
import { judgementOf } from './levelOf.js';
import type { RunNow } from './nowDocument.js';
import { number, table, text } from './table.js';

/** One run of a club's creeks; of a creek that could not be charted one row, with the problem. */
export interface ClubRow {
  readonly creek: string;
  readonly folder: string;
  readonly timeZone: string;
  readonly run: string | null;
  readonly gauge: string | null;
  /** What to read, when. */
  readonly instruction: string | null;
  readonly good: string | null;
  readonly grade: string | null;
  /** By the newest readings: the likeliest class with its odds, or why there is none. */
  readonly today: string | null;
  readonly lastVisitMs: number | null;
  /** What would make the chart better, the first thing. */
  readonly missing: string | null;
  /** Of the creek's page, relative to the club's; null where it has none. */
  readonly page: string | null;
  readonly problem: string | null;
}

/** The rows of one creek that was charted. @param of.now what the newest readings say; without, nothing is said of today. */
export function clubRows(
  { chart, trust }: CreekAnswers,
  { folder, page, now = [] }: { folder: string; page: string; now?: readonly RunNow[] | undefined },
): readonly ClubRow[] {
  return answersOf({ chart, trust }).map(({ run, reading, grade, refusal, lastVisitMs }) => {
    const gauge = reading?.gauge ?? chart.runs.find(({ id }) => id === run.id)?.gauges[0]?.gauge.id;
    const good = reading && goodRange(reading);
    return {
      creek: chart.creek.name,
      folder,
      timeZone: chart.creek.timeZone,
      run: run.name,
      gauge: reading?.gaugeName ?? null,
      instruction: reading?.instruction ?? null,
      good: reading && good && endsIn(reading, [good.from, good.to])[0],
      grade,
      today: todayText(now.find((one) => one.run.id === run.id)),
      lastVisitMs,
      missing: (gauge === undefined ? undefined : judgementOf(trust, run.id, gauge)?.improve[0]) ?? null,
      page: `${page}#run-${run.id}`,
      problem: refusal,
    };
  });
}

/** The likeliest class on arrival with its odds and the age of the reading, in a few words. */
function todayText(of: RunNow | undefined): string | null {
  const now = of?.now;
  if (!now) return null;
  if (now.odds === null || now.newest === null)
    return now.why === 'not-seen' ? 'no visit has met this' : 'no reading for today';
  const top = now.odds.indexOf(Math.max(...now.odds));
  const age = hours(rounded((now.arrivalMs - now.newest.timeMs) / 3_600_000, 0));
  return `${now.classes[top]!} ${share(now.odds[top]!)} (reading ${age} old)`;
}

/** A club's creeks in one table. */
export function clubTable(made: readonly ClubRow[]) {
  return table(
    'club',
    'Runs',
    made,
  )({
    creek: text('creek', 'Name of the creek.', ({ creek }: ClubRow) => creek),
    run: text('run', 'Name of the run.', ({ run }) => run),
    today: text('today', 'Likeliest class by the newest reading, with its odds.', ({ today }) => today),
    good: text('good', 'Good range, in the gauge’s unit.', ({ good }) => good),
    gauge: text('gauge', 'Gauge to read.', ({ gauge }) => gauge),
    grade: text('grade', 'How far to trust it.', ({ grade }) => grade),
    lastVisit: text('last visit', 'Day of the last visit, by the creek’s clock.', ({ lastVisitMs, timeZone }) =>
      lastVisitMs === null ? null : day(lastVisitMs, timeZone),
    ),
    lastVisitMs: number('time', ['last visit', 'Time of the last visit.'], ({ lastVisitMs }) => lastVisitMs, {
      tidyOnly: true,
    }),
    instruction: text('how to read', 'What to read, when.', ({ instruction }) => instruction, { tidyOnly: true }),
    missing: text('missing', 'What would make it better.', ({ missing }) => missing, { tidyOnly: true }),
    problem: text('problem', 'Why there is no level.', ({ problem }) => problem, { tidyOnly: true }),
    folder: text('folder', 'Folder of the creek.', ({ folder }) => folder, { tidyOnly: true }),
  });
}

/** All runs of a club on one sheet, those without a level with the reason. */
export function clubDocument(made: readonly ClubRow[]): Document {
  const creeks = new Set(made.map(({ folder }) => folder)).size;
  return {
    kind: 'document',
    subject: 'club',
    title: `${counted(creeks, 'creek')}, ${counted(made.filter(({ run }) => run !== null).length, 'run')}`,
    cautions: CAUTIONS,
    body: [
      ...list(made.flatMap((row) => (row.problem === null ? [runText(row)] : []))),
      ...made.flatMap(({ creek, run, problem }) =>
        problem === null
          ? []
          : [{ kind: 'says' as const, tone: 'refusal' as const, text: `${run ?? creek}: ${problem}` }],
      ),
    ],
  };
}

function runText({ creek, run, today, good, gauge, grade }: ClubRow): string {
  return `${run!} (${creek}): ${today === null ? '' : `${today}; `}good ${good!} by ${gauge!}, ${grade!}`;
}
