import type { CreekTrust, EdgeMove, Judgement, JudgedCost, Way } from '../../judge/judgement.js';
import type { Rule } from '../../judge/rule.js';
import { figures, MONTHS } from '../../series/format.js';
import { measured, number, table, text, truth } from '../table.js';

/** What a table of a judgement is made from: a whole creek, or one run against one gauge. */
export type Judged = CreekTrust | Judgement;

interface By {
  readonly by: Judgement;
}

const KEY = {
  run: text('run', 'Id of the run.', ({ by }: By) => by.run, { tidyOnly: true }),
  gauge: text('gauge', 'Id of the gauge.', ({ by }: By) => by.gauge, { tidyOnly: true }),
  grade: text('grade', 'How far to trust the gauge.', ({ by }: By) => by.grade, { tidyOnly: true }),
} as const;

const unit = ({ by }: By): string => by.unit;
const UNIT = { unit: text('unit', 'Unit of the gauge values.', unit, { tidyOnly: true }) } as const;

function rowsOf<T extends object>(judged: Judged, of: (by: Judgement) => readonly T[]): readonly (T & By)[] {
  const all = judged.kind === 'judgement' ? [judged] : judged.runs.flatMap(({ gauges }) => gauges);
  return all.flatMap((by) => of(by).map((row) => ({ ...row, by })));
}

function timesOf(judged: Judged): { readonly timeZone?: string } {
  return judged.kind === 'judgement' ? {} : { timeZone: judged.creek.timeZone };
}

/** The judged gauges of each run beside each other. */
export function comparedTable(judgements: readonly Judgement[]) {
  return table(
    'compared',
    'The gauges beside each other, on floods left out',
    judgements,
  )({
    run: text('run', 'Id of the run.', ({ run }) => run, { tidyOnly: true }),
    gauge: text('gauge', 'Name of the gauge.', ({ gaugeName }) => gaugeName),
    grade: text('grade', 'How far to trust the gauge.', ({ grade }) => grade),
    skill: measured(
      'share',
      ['guesswork less', 'Skill against how often each class was logged: the share of the guesswork taken away.'],
      ({ scores, way }) => scores?.ways.find((score) => score.way === way)?.skill.againstFrequencies ?? null,
    ),
    right: number(
      'share',
      ['right', 'How often the likeliest class was right.'],
      ({ scores }) => scores?.confusion.right.value ?? null,
    ),
    higher: number(
      'share',
      ['higher', 'How often the creek was higher than said.'],
      ({ scores }) => scores?.confusion.seenHigher.value ?? null,
    ),
  });
}

type Check = Judgement['checks'][number];

const CHECK = {
  check: text('check', 'What is checked.', ({ check }: Check) => check),
  statistic: number('number', ['is', 'What was found; empty: could not be worked out.'], (row: Check) => row.statistic),
  asked: text('asked for', 'What passes.', ({ operator, threshold, unit: of }: Check) =>
    `${SIGNS[operator]} ${figures(threshold)} ${of}`.trim(),
  ),
  pass: truth('passed', 'Whether the check is passed.', ({ pass }: Check) => pass),
  essential: truth('essential', 'Failed, it holds the grade at a rough guide or below.', (row: Check) => row.essential),
  comment: text('why', 'The reason for the threshold.', ({ comment }: Check) => comment, { tidyOnly: true }),
} as const;

/** The checks behind each grade. */
export function checksTable(judged: Judged) {
  const rows = rowsOf(judged, ({ checks }) => checks);
  return table('checks', 'Checks behind the grade', rows)({ ...KEY, ...CHECK });
}

/** The checks of one grade, for a verdict that has no more. */
export function gradeTable(grade: string, checks: readonly Check[]) {
  return table('checks', `Checks behind "${grade}"`, checks)(CHECK);
}

const SIGNS = { '>=': 'at least', '<=': 'at most', '>': 'above', '<': 'below' } as const;

/** What each relation rests on, one count a row. */
export function evidenceTable(judged: Judged) {
  return table(
    'evidence',
    'Evidence',
    rowsOf(judged, evidenceRows),
  )({
    ...KEY,
    measure: text('of', 'What is counted.', ({ measure }) => measure),
    item: text('which', 'Class, month or limb.', ({ item }) => item),
    value: number('number', ['count', 'How many, or how much.'], ({ value }) => value),
    unit: text('unit', 'Of the count.', (row) => row.unit),
  });
}

function evidenceRows({ evidence, classes, unit: of }: Judgement) {
  const row = (measure: string, value: number | null, counts: string, item: string | null = null) => ({
    measure,
    item,
    value,
    unit: counts,
  });
  return [
    row('visits', evidence.visits, 'visits'),
    row('verdicts', evidence.verdicts, 'visits'),
    row('floods', evidence.floods, 'floods'),
    row('age of the last visit', evidence.ageDays, 'days'),
    row('lowest visit', evidence.span[0], of),
    row('highest visit', evidence.span[1], of),
    row('record, 5 %', evidence.recordSpan[0], of),
    row('record, 95 %', evidence.recordSpan[1], of),
    ...evidence.classCounts.map((verdicts, k) => row('class', verdicts, 'verdicts', classes[k] ?? null)),
    ...evidence.monthCounts.map((visits, month) => row('month', visits, 'visits', MONTHS[month] ?? null)),
    ...(['rising', 'steady', 'falling'] as const).map((limb) => row('limb', evidence.limbs[limb], 'visits', limb)),
    ...(evidence.approvedShare === null ? [] : [row('approved readings', 100 * evidence.approvedShare, '%')]),
  ];
}

const WAY = text('read', 'effective, one-reading, or as-it-stands (no lag, no storage).', (r: { way: Way }) => r.way);

/** Skill on floods left out, each way of reading against each base. */
export function skillTable(judged: Judged) {
  const rows = rowsOf(judged, ({ scores }) =>
    (scores?.ways ?? []).flatMap(({ way, skill }) => [
      { way, against: 'frequencies', found: skill.againstFrequencies },
      { way, against: 'month', found: skill.againstMonth },
      ...(skill.againstNoLag === null ? [] : [{ way, against: 'no lag', found: skill.againstNoLag }]),
    ]),
  );
  return table(
    'skill',
    'Guesswork taken away on floods left out',
    rows,
  )({
    ...KEY,
    way: WAY,
    against: text('against', 'frequencies: how often each class was logged; month; no lag.', ({ against }) => against),
    value: measured('share', ['skill', '1 perfect, 0 no better than the base.'], ({ found }) => found),
  });
}

/** The scores behind the skill. */
export function scoresTable(judged: Judged) {
  const rows = rowsOf(judged, ({ scores }) =>
    (scores?.ways ?? []).flatMap(({ way, rps, logScore, logGain }) => [
      { way, score: 'rps', found: rps },
      { way, score: 'log score', found: logScore },
      { way, score: 'log gain', found: logGain },
    ]),
  );
  return table(
    'scores',
    'Scores behind it',
    rows,
  )({
    ...KEY,
    way: WAY,
    score: text(
      'score',
      'rps, log score (nats): lower is better; log gain on the frequencies: higher.',
      (r) => r.score,
    ),
    value: measured('number', ['is', 'The score.'], ({ found }) => found),
  });
}

/** Stated odds against what happened, a bin of odds a row. */
export function reliabilityTable(judged: Judged) {
  const rows = rowsOf(judged, ({ scores }) => [...(scores?.reliability.bins ?? [])]);
  return table(
    'reliability',
    'Stated odds against what was seen',
    rows,
  )({
    ...KEY,
    from: number('share', ['from', 'Lower end of the stated odds.'], ({ from }) => from),
    to: number('share', ['to', 'Upper end of the stated odds.'], ({ to }) => to),
    stated: number('odds', ['stated', 'Mean stated odds.'], ({ stated }) => stated),
    seen: measured('share', ['seen', 'Share that happened.'], ({ seen }) => seen),
    ifRight: measured(
      'share',
      ['if right', 'Where that share would lie in 80 % of worlds in which the stated odds are right.'],
      ({ ifRight80 }) => ({ value: null, i80: ifRight80 }),
    ),
    weight: number('count', ['cases', 'By weight: verdicts of one visit share it.'], ({ weight }) => weight),
    floods: number('count', ['floods', 'Floods that they come from.'], ({ floods }) => floods),
  });
}

/** The likeliest class against the one seen, a pair a row. */
export function confusionTable(judged: Judged) {
  const rows = rowsOf(judged, ({ scores, classes }) =>
    (scores?.confusion.table ?? []).flatMap((row, said) =>
      row.map((verdicts, seen) => ({ said: classes[said] ?? '', seen: classes[seen] ?? '', verdicts })),
    ),
  );
  return table(
    'confusion',
    'Said against seen',
    rows,
  )({
    ...KEY,
    said: text('said', 'The likeliest class.', ({ said }) => said),
    seen: text('seen', 'The verdict.', ({ seen }) => seen),
    verdicts: number('count', ['verdicts', 'By weight: verdicts of one visit share it.'], ({ verdicts }) => verdicts),
  });
}

/** The same as people read it: what was said down, what was seen across. */
export function confusionSquare({ scores, classes }: Judgement) {
  const rows = (scores?.confusion.table ?? []).map((verdicts, said) => ({ said: classes[said] ?? '', verdicts }));
  return table(
    'confusion square',
    'Said (down) against seen (across), verdicts',
    rows,
  )({
    said: text('said', 'The likeliest class.', ({ said }) => said),
    ...Object.fromEntries(
      classes.map((word, k) => [
        `class${k}`,
        number('count', [word, `Verdicts of ${word}.`], (r: (typeof rows)[number]) => r.verdicts[k] ?? 0),
      ]),
    ),
  });
}

/** How often the likeliest class was right or off, and how sharp the odds are. */
export function ratesTable(judged: Judged) {
  const rows = rowsOf(judged, ({ scores }) => {
    if (scores === null) return [];
    const { confusion, sharpness } = scores;
    return [
      { rate: 'right class', found: confusion.right },
      { rate: 'right, or off by one', found: confusion.withinOne },
      { rate: 'creek higher than said', found: confusion.seenHigher },
      { rate: 'creek lower than said', found: confusion.seenLower },
      { rate: 'odds of the likeliest class, mean', found: sharpness.meanTop },
      { rate: 'a class had odds of 80 %', found: sharpness.sure },
      { rate: 'and that class was right', found: sharpness.sureRight },
    ];
  });
  return table(
    'rates',
    'How often',
    rows,
  )({
    ...KEY,
    rate: text('', 'What is counted.', ({ rate }) => rate),
    value: measured('share', ['share', 'Of the verdicts, on floods left out.'], ({ found }) => found),
  });
}

/** Skill when deciding so many hours before. */
export function leadCurveTable(judged: Judged) {
  const rows = rowsOf(judged, ({ leadCurve }) => [...(leadCurve?.points ?? [])]);
  return table(
    'lead curve',
    'Deciding early',
    rows,
  )({
    ...KEY,
    leadHours: number('hours', ['before', 'Hours before being on the water.'], ({ leadHours }) => leadHours),
    skill: measured('share', ['skill', 'Guesswork taken away.'], ({ skill }) => skill),
  });
}

/** The floods that hold a verdict, with the mean score of each when it is left out. */
export function floodsTable(judged: Judged) {
  const rows = rowsOf(judged, ({ scores }) => [...(scores?.floods ?? [])]);
  return table(
    'floods',
    'Floods',
    rows,
    timesOf(judged),
  )({
    ...KEY,
    first: number('day', ['first', 'Its first verdict.'], ({ firstMs }) => firstMs),
    last: number('day', ['last', 'Its last verdict.'], ({ lastMs }) => lastMs),
    verdicts: number('count', ['verdicts', 'By weight.'], ({ verdicts }) => verdicts),
    rps: number('number', ['score', 'Mean ranked probability score; lower is better.'], ({ rps }) => rps),
    rpsFrequencies: number(
      'number',
      ['of frequencies', 'The same by how often each class was logged.'],
      (r) => r.rpsFrequencies,
    ),
    paretoK: number(
      'number',
      ['k̂', 'Of the weights that stand for leaving it out; dependable below 0.7.'],
      (r) => r.paretoK,
    ),
  });
}

/** Rules that no other beats in both "too high" and days lost, the most careful first. */
export function rulesTable(judged: Judged) {
  const rows = rowsOf(judged, ({ rules }) => [...(rules?.frontier ?? [])]);
  return table(
    'rules',
    'Ranges worth thinking about',
    rows,
  )({
    ...KEY,
    atLeast: number('gauge', ['from', 'Lowest reading.'], ({ atLeast }) => atLeast, { unit }),
    atMost: number('gauge', ['to', 'Highest reading.'], ({ atMost }) => atMost, { unit }),
    ...UNIT,
    tooHigh: number('share', ['too high', 'Expected share of the days inside.'], ({ tooHigh }) => tooHigh),
    wasted: number('share', ['below good', 'Expected share of the days inside.'], ({ wasted }) => wasted),
    missed: number('share', ['good days outside', 'Expected share of the good days.'], ({ missed }) => missed),
  });
}

/** What the chosen range, and the sure range of good, held on the logged days. */
export function ruleCostsTable(judged: Judged) {
  const rows = rowsOf(judged, ({ rules }) => {
    const { chosen = null, sureGood = null } = rules ?? {};
    const row = (name: string, rule: Rule, cost: JudgedCost) => ({ name, rule, cost });
    return [
      ...(chosen === null ? [] : [row('chosen', chosen.rule, chosen.cost)]),
      ...(chosen === null ? [] : [row('chosen without each flood', chosen.rule, chosen.costLeftOut)]),
      ...(sureGood === null ? [] : [row('where good is sure', sureGood.rule, sureGood.cost)]),
    ];
  });
  return table(
    'rule costs',
    'Ranges on the logged days',
    rows,
  )({
    ...KEY,
    rule: text('range', 'Which range.', ({ name }) => name),
    atLeast: number('gauge', ['from', 'Lowest reading.'], ({ rule }) => rule.atLeast, { unit }),
    atMost: number('gauge', ['to', 'Highest reading.'], ({ rule }) => rule.atMost, { unit }),
    ...UNIT,
    goDays: number('count', ['days inside', 'Logged days inside.'], ({ cost }) => cost.goDays),
    tooHigh: measured('share', ['too high', 'Share of the days inside.'], ({ cost }) => cost.tooHigh),
    wasted: measured('share', ['below good', 'Share of the days inside.'], ({ cost }) => cost.wasted),
    missed: measured('share', ['good days outside', 'Share of the good days.'], ({ cost }) => cost.missed),
  });
}

/** Who sees more water than the others. */
export function biasTable(judged: Judged) {
  const rows = rowsOf(judged, ({ observers }) => [...observers.rows]);
  return table(
    'bias',
    'Observers',
    rows,
  )({
    ...KEY,
    observer: text('observer', 'Name as in the log.', ({ observer }) => observer),
    sightings: number('count', ['sightings', 'By this observer.'], ({ sightings }) => sightings),
    visits: number('count', ['visits', 'By this observer.'], ({ visits }) => visits),
    bias: measured(
      'ln',
      ['sees', 'In ln units of the reading; above 0: says a higher class than the others at the same water.'],
      ({ biasMedian, bias80 }) => ({ median: biasMedian, i80: bias80 }),
      { i95: ({ bias95 }) => bias95 },
    ),
    above: number('odds', ['sees more', 'Probability that the bias is above 0.'], ({ above }) => above),
  });
}

/** Krippendorff's α a feature, over the visits that several observers shared. */
export function agreementTable(judged: Judged) {
  const rows = rowsOf(judged, ({ observers }) => [...observers.agreement]);
  return table(
    'agreement',
    'Agreement on shared visits',
    rows,
  )({
    ...KEY,
    feature: text('feature', 'Id of the feature, or verdict.', ({ feature }) => feature, { tidyOnly: true }),
    name: text('feature', 'Its name.', ({ name }) => name),
    sharedVisits: number('count', ['shared visits', 'Visits with several observers.'], (r) => r.sharedVisits),
    alpha: measured('number', ['α', "Krippendorff's α: 1 agreement, 0 chance."], ({ alpha, i80 }) => ({
      value: alpha,
      i80,
    })),
  });
}

/** Visits that look wrong, a row an explanation, likeliest first. */
export function suspectsTable(judged: Judged) {
  const rows = rowsOf(judged, ({ suspects }) =>
    suspects.rows.flatMap((visit) => visit.explanations.map((explanation) => ({ visit, explanation }))),
  );
  return table(
    'suspects',
    'Visits that look wrong',
    rows,
    timesOf(judged),
  )({
    ...KEY,
    visit: text('visit', 'Id of the visit.', ({ visit }) => visit.visit),
    time: number('day', ['when', 'Time of the visit.'], ({ visit }) => visit.timeMs),
    rows: text('rows', 'Lines of visits.csv.', ({ visit }) => visit.rows.join(' ')),
    observers: text('observers', 'Who wrote them.', ({ visit }) => visit.observers.join(', ')),
    sound: number('odds', ['right as written', 'Probability that all is as written.'], ({ visit }) => visit.sound),
    kind: text('kind', 'Kind of the explanation.', ({ explanation }) => explanation.kind, { tidyOnly: true }),
    explanation: text('or', 'What would explain it.', ({ explanation }) => explanation.sentence),
    probability: number('odds', ['odds', 'Probability of this explanation.'], (r) => r.explanation.probability),
  });
}

/** How far each visit's state stands from what the gauge says. */
export function residualsTable(judged: Judged) {
  const rows = rowsOf(judged, ({ shift }) => [...shift.residuals]);
  return table(
    'residuals',
    'Creek against gauge, visit by visit',
    rows,
    timesOf(judged),
  )({
    ...KEY,
    visit: text('visit', 'Id of the visit.', ({ visit }) => visit),
    time: number('day', ['when', 'Time of the visit.'], ({ timeMs }) => timeMs),
    residual: number('ln', ['creek is', 'State of the creek minus the gauge, ln units.'], ({ residual }) => residual),
  });
}

/** The most useful looks, best first. */
export function nextLooksTable(judged: Judged) {
  const rows = rowsOf(judged, ({ nextLook }) => [...(nextLook?.looks ?? [])]);
  return table(
    'next looks',
    'Next looks',
    rows,
  )({
    ...KEY,
    feature: text('look at', 'Id of the feature, or verdict.', ({ feature }) => feature),
    from: number('gauge', ['from', 'Lowest reading.'], ({ from }) => from, { unit }),
    to: number('gauge', ['to', 'Highest reading.'], ({ to }) => to, { unit }),
    ...UNIT,
    shrinkage: number(
      'share',
      ['narrower by', 'What the edges of good gain on average.'],
      ({ shrinkage }) => shrinkage,
    ),
    sentence: text('in words', 'The same in words.', ({ sentence }) => sentence, { tidyOnly: true }),
  });
}

/** For each edge of the verdict the visit whose leaving out moves it most. */
export function influenceTable(judged: Judged) {
  const rows = rowsOf(judged, ({ influence }) => [...(influence?.rows ?? [])]);
  return table(
    'influence',
    'The visit that moves each edge most',
    rows,
    timesOf(judged),
  )({
    ...KEY,
    ...MOVED,
    visit: text('without visit', 'Id of the visit left out.', ({ visit }) => visit),
    time: number('day', ['of', 'Time of the visit.'], ({ timeMs }) => timeMs),
    rows: text('rows', 'Lines of visits.csv.', ({ rows: lines }) => lines.join(' ')),
    method: text('by', 'By a fit without it, or by weights.', ({ method }) => method, { tidyOnly: true }),
  });
}

type Move = By & Pick<EdgeMove, 'between' | 'from' | 'to' | 'move'>;

const MOVED = {
  lower: text('below', 'Class below the edge.', ({ between }: Move) => between[0]),
  upper: text('above', 'Class above the edge.', ({ between }: Move) => between[1]),
  from: number('gauge', ['from', 'Where the chart has it.'], ({ from }: Move) => from, { unit }),
  to: number('gauge', ['to', 'Where it would stand.'], ({ to }: Move) => to, { unit }),
  ...UNIT,
  move: number('share', ['move', "In shares of the edge's 80 % interval."], ({ move }: Move) => move),
} as const;

/** Where each edge would stand under other assumptions. */
export function sensitivityTable(judged: Judged) {
  const rows = rowsOf(judged, ({ sensitivity }) =>
    (sensitivity?.variants ?? []).flatMap(({ edges, ...variant }) => edges.map((edge) => ({ variant, ...edge }))),
  );
  return table(
    'sensitivity',
    'Under other assumptions',
    rows,
  )({
    ...KEY,
    variant: text('assuming', 'Which assumption is changed.', ({ variant }) => variant.variant),
    ...MOVED,
    flagged: truth('matters', 'Moves by more than a quarter of its interval.', ({ variant }) => variant.flagged),
  });
}

/** Where each edge would stand without one observer's sightings. */
export function withoutTable(judged: Judged) {
  const rows = rowsOf(judged, ({ observers }) =>
    observers.without.flatMap(({ observer, edges }) => edges.map((edge) => ({ observer, ...edge }))),
  );
  return table(
    'without',
    'Edges without one observer',
    rows,
  )({
    ...KEY,
    observer: text('without', 'Whose sightings are left out.', ({ observer }) => observer),
    ...MOVED,
  });
}
