import type { Creek, DerivedGauge, Feature, Gauge, GaugeFetch, Run, TableLayout } from '../series/creek.js';
import { isTimeZone } from '../series/time.js';
import { parameterOfUnit } from '../series/units.js';
import { VERDICT } from '../series/visits.js';
import { datePattern } from './datePattern.js';
import { checkTripLogNames } from './checkTripLog.js';
import { instantOf } from './datumBarriers.js';
import { didYouMean } from './nearestWord.js';
import { pathProblem } from './pathInside.js';
import { plainWord } from './plainWord.js';

/** Something wrong in creek.json at a place of it: what was found and expected there, and what to do. */
export interface CreekProblem {
  readonly path: (string | number)[];
  readonly message: string;
  readonly params: { readonly found?: string; readonly hint?: string; readonly pathOutside?: boolean };
}

type Report = (problem: CreekProblem) => void;
type Path = (string | number)[];

/** Reports in the order place, expected, found, hint. */
export function sayer(report: Report): Say {
  return (path, expected, found, hint) => report({ path, message: expected, params: { found, hint } });
}

/** What only the whole file can show: unique ids, derived gauges over gauges, the creek's zone and bounds. */
export function checkWhole(creek: Creek, report: Report): void {
  const say = sayer(report);
  zone(creek.timeZone, ['timeZone'], say);
  unique(
    creek.runs.map((run) => run.id),
    'run',
    (i) => ['runs', i, 'id'],
    say,
  );
  const derived = creek.derivedGauges ?? [];
  const loggers = creek.loggers ?? [];
  const places = { gauges: creek.gauges, derivedGauges: derived, loggers };
  const paths = Object.entries(places).flatMap(([key, list]) =>
    list.map(({ id }, i) => ({ id, path: [key, i, 'id'] })),
  );
  unique(
    paths.map(({ id }) => id),
    'gauge',
    (i) => paths[i]!.path,
    say,
  );
  const runs = creek.runs.map(({ id }) => id);
  loggers.forEach(({ run }, i) => {
    if (!runs.includes(run))
      say(['loggers', i, 'run'], `a run (${runs.join(', ')})`, `'${run}'`, didYouMean(run, runs));
  });
  checkTripLogNames(creek, say);
  derived.forEach((gauge, i) => checkDerived(gauge, creek.gauges, ['derivedGauges', i], say));
  for (const key of ['lagHours', 'storageHours'] as const) {
    const range = creek[key];
    if (range !== undefined && !(range.min <= range.max)) say([key], 'min at most max', `${range.min} to ${range.max}`);
  }
}

export type Say = (path: Path, expected: string, found?: string, hint?: string) => void;

function unique(words: readonly string[], kind: string, pathOf: (i: number) => Path, say: Say): void {
  const first = new Map<string, number>();
  words.forEach((word, i) => {
    const before = first.get(plainWord(word));
    if (before === undefined) first.set(plainWord(word), i);
    else
      say(
        pathOf(i),
        `a ${kind} that no other has (capitals do not tell them apart)`,
        `'${word}', as at ${jsonPath(pathOf(before))}`,
      );
  });
}

function zone(name: string, path: Path, say: Say): void {
  if (!isTimeZone(name)) say(path, 'an IANA time zone, such as Europe/London or America/Denver', `'${name}'`);
}

/** What only a whole run can show: unique classes and features, and that `verdictFrom` translates one of them in order. */
export function checkRun(run: Run, report: Report): void {
  const say = sayer(report);
  unique(run.classes, 'class', (i) => ['classes', i], say);
  unique(
    run.features.map((feature) => feature.id),
    'feature',
    (i) => ['features', i, 'id'],
    say,
  );
  run.features.forEach((feature, i) => checkFeature(feature, ['features', i], say));
  if (run.verdictFrom !== undefined) checkVerdictFrom(run, ['verdictFrom'], say);
}

function checkFeature(feature: Feature, path: Path, say: Say): void {
  if (plainWord(feature.id) === VERDICT)
    say([...path, 'id'], `another id: '${VERDICT}' is the sighting of the whole run`, `'${feature.id}'`);
  if ((feature.classes === undefined) === (feature.unit === undefined))
    say(path, 'either classes or a unit', feature.classes === undefined ? 'neither' : 'both');
  unique(feature.classes ?? [], 'class', (i) => [...path, 'classes', i], say);
  for (const word of Object.keys(feature.looks ?? {}))
    if (!(feature.classes ?? []).includes(word))
      say(
        [...path, 'looks', word],
        `a class of the feature (${(feature.classes ?? []).join(' < ') || 'it has none'})`,
        `'${word}'`,
        didYouMean(word, feature.classes ?? []),
      );
}

function checkVerdictFrom(run: Run, path: Path, say: Say): void {
  const from = run.verdictFrom!;
  const feature = run.features.find((candidate) => candidate.id === from.feature);
  const ids = run.features.map((candidate) => candidate.id);
  if (feature === undefined)
    return say(
      [...path, 'feature'],
      `a feature of run ${run.id} (${ids.join(', ') || 'it has none'})`,
      `'${from.feature}'`,
      didYouMean(from.feature, ids),
    );
  if ('edges' in from) {
    if (feature.unit === undefined) say(path, `classes, as feature ${feature.id} has classes`, 'edges');
    if (from.edges.length !== run.classes.length - 1)
      say(
        [...path, 'edges'],
        `${run.classes.length - 1} edges between ${run.classes.length} classes`,
        `${from.edges.length}`,
      );
    if (from.edges.some((edge, i) => i > 0 && !(edge > from.edges[i - 1]!)))
      say([...path, 'edges'], 'edges in ascending order', from.edges.join(', '));
    return;
  }
  if (feature.classes === undefined) return say(path, `edges, as feature ${feature.id} is read as a number`, 'classes');
  for (const word of Object.keys(from.classes))
    if (!feature.classes.includes(word))
      say(
        [...path, 'classes', word],
        `a class of feature ${feature.id} (${feature.classes.join(' < ')})`,
        `'${word}'`,
        didYouMean(word, feature.classes),
      );
  let lowest = 0;
  for (const word of feature.classes) {
    const to = Object.hasOwn(from.classes, word) ? from.classes[word] : undefined;
    if (to === undefined) {
      say([...path, 'classes'], `a translation of every class of feature ${feature.id}`, `none of '${word}'`);
      continue;
    }
    const index = run.classes.indexOf(to);
    if (index < 0)
      say(
        [...path, 'classes', word],
        `a class of run ${run.id} (${run.classes.join(' < ')})`,
        `'${to}'`,
        didYouMean(to, run.classes),
      );
    else if (index < lowest)
      say(
        [...path, 'classes', word],
        `'${run.classes[lowest]}' or higher, as a lower class of the feature has that already`,
        `'${to}'`,
      );
    else lowest = index;
  }
}

/** Keys that only a delimited table has a use for. */
const ONLY_DELIMITED = [
  'columns',
  'delimiter',
  'decimalMark',
  'encoding',
  'skipLines',
  'datePattern',
  'stopAt',
  'missing',
] as const;

function checkFetch({ files }: Gauge, { address, file }: GaugeFetch, say: ReturnType<typeof sayer>): void {
  const plain = address.replace(/\{[^}]*\}/g, '0');
  const url = URL.canParse(plain) ? new URL(plain) : undefined;
  const here = url !== undefined && ['localhost', '127.0.0.1', '[::1]'].includes(url.hostname);
  // The address itself is not shown: it may hold a key.
  if (url?.protocol !== 'https:' && !(here && url?.protocol === 'http:'))
    say(['fetch', 'address'], 'an address that begins with https:// (http only on this machine)', 'another one');
  else if (url.username !== '' || url.password !== '')
    say(
      ['fetch', 'address'],
      'an address without a name or password',
      'one with them',
      'Send a key as a header: {env:NAME}.',
    );
  if (!address.includes('{from}')) say(['fetch', 'address'], 'an address with {from}', 'one without it');
  if (!files.includes(file))
    say(['fetch', 'file'], `one of files (${files.join(', ')})`, `'${file}'`, 'List it under files, last.');
}

/** What only a whole gauge can show: unit and parameter, paths, and that a delimited table has its mapping. */
export function checkGauge(gauge: Gauge, report: Report): void {
  const say = sayer(report);
  if (parameterOfUnit(gauge.unit) !== gauge.parameter)
    say(
      ['unit'],
      gauge.parameter === 'stage' ? 'ft, m or cm for a stage' : 'ft3/s, m3/s or L/s for a discharge',
      `'${gauge.unit}'`,
    );
  if (gauge.zeroFlowStage !== undefined && gauge.parameter !== 'stage')
    say(['zeroFlowStage'], 'a stage gauge', `parameter '${gauge.parameter}'`);
  if (gauge.reach?.meanFlow !== undefined && gauge.parameter !== 'discharge')
    say(
      ['reach', 'meanFlow'],
      'a discharge gauge: a stage has no mean flow',
      `parameter '${gauge.parameter}'`,
      'Leave meanFlow out; lengthKm and slope may stay.',
    );
  if (gauge.timeZone !== undefined) zone(gauge.timeZone, ['timeZone'], say);
  if (gauge.fetch !== undefined) checkFetch(gauge, gauge.fetch, say);
  for (const [i, text] of (gauge.datumChanges ?? []).entries())
    if (Number.isNaN(instantOf(text, 'UTC')))
      say(['datumChanges', i], 'a date or time in ISO 8601, such as 2024-04-28 or 2024-04-28T14:30', `'${text}'`);
  gauge.files.forEach((file, i) => checkPath(file, ['files', i], report));
  unique(gauge.files, 'file', (i) => ['files', i], say);
  if (gauge.format !== 'delimited') {
    for (const key of ONLY_DELIMITED)
      if (gauge[key] !== undefined)
        say(
          [key],
          `no ${key}: format ${gauge.format} says it in the file`,
          `'${key}'`,
          "Leave it out, or set format to 'delimited'.",
        );
    return;
  }
  const { columns } = gauge;
  if (columns === undefined)
    return say([], 'columns, which say where a delimited table has its time and value', 'none');
  if ((columns.time === undefined) === (columns.date === undefined))
    say(['columns'], 'either time, or date with or without clock', columns.time === undefined ? 'neither' : 'both');
  if (columns.clock !== undefined && columns.date === undefined)
    say(['columns'], 'a date beside the clock', 'clock alone');
  checkDelimiter(gauge, say);
  if (gauge.approval !== undefined && columns.quality === undefined)
    say(['approval'], 'columns.quality, the column of the codes', 'none');
  checkDatePattern(gauge.datePattern, say);
}

/** A path that leads out of the folder is a problem of its own kind. */
export function checkPath(file: string, path: Path, report: Report): void {
  const problem = pathProblem(file);
  if (problem === undefined) return;
  report({
    path,
    message: 'a path below the creek folder, with / between its parts',
    params: {
      found: `'${file}', ${problem}`,
      pathOutside: true,
      hint: 'Copy the file into the folder and name it from there.',
    },
  });
}

/** Delimiter and decimal mark must be told apart from each other and from what cells are made of. */
export function checkDelimiter({ delimiter, decimalMark }: TableLayout, say: Say): void {
  if (delimiter !== undefined && delimiter === (decimalMark ?? '.'))
    say(['delimiter'], 'another character than the decimal mark', `'${delimiter}'`);
  if (delimiter !== undefined && /["\r\n\w+:-]/.test(delimiter))
    say(['delimiter'], 'a character that no number, time or quote is made of', `${JSON.stringify(delimiter)}`);
  if (decimalMark === ',' && delimiter === undefined)
    say(['delimiter'], "a delimiter, as a comma is the decimal mark (often ';')", 'none');
}

export function checkDatePattern(pattern: string | undefined, say: Say): void {
  if (pattern === undefined) return;
  try {
    datePattern(pattern);
  } catch {
    say(
      ['datePattern'],
      "'iso', or yyyy MM dd and, where there is a clock, HH mm ss with separators, such as dd/MM/yyyy HH:mm",
      `'${pattern}'`,
      otherLetters(pattern),
    );
  }
}

/** The pattern in our letters where it is one in those of other programs, as DD.MM.YYYY hh:mm. */
function otherLetters(pattern: string): string | undefined {
  const ours = pattern
    .replace(/D/g, 'd')
    .replace(/Y/g, 'y')
    .replace(/hh/g, 'HH')
    .replace(/SS/g, 'ss')
    .replace(/:MM/g, ':mm');
  try {
    datePattern(ours);
    return `Did you mean '${ours}'?`;
  } catch {
    return undefined;
  }
}

function checkDerived(derived: DerivedGauge, gauges: readonly Gauge[], path: Path, say: Say): void {
  const ids = gauges.map((gauge) => gauge.id);
  derived.of.forEach((wanted, i) => {
    const gauge = gauges.find((candidate) => candidate.id === wanted);
    if (gauge === undefined)
      say([...path, 'of', i], `the id of a gauge (${ids.join(', ')})`, `'${wanted}'`, didYouMean(wanted, ids));
    else if (gauge.parameter !== 'discharge')
      say([...path, 'of', i], 'a discharge gauge: stages do not add', `'${wanted}', a stage gauge`);
    else if (derived.kind === 'area-scaled' && gauge.catchmentAreaKm2 === undefined)
      say([...path, 'of', i], 'a gauge with catchmentAreaKm2', `'${wanted}', which has none`);
  });
  unique(derived.of, 'gauge', (i) => [...path, 'of', i], say);
  if (derived.kind === 'area-scaled') {
    if (derived.of.length !== 1) say([...path, 'of'], 'one gauge', `${derived.of.length}`);
    if (derived.catchmentAreaKm2 === undefined) say(path, 'catchmentAreaKm2, the area scaled to', 'none');
  } else {
    if (derived.of.length < 2) say([...path, 'of'], 'at least two gauges', `${derived.of.length}`);
    if (derived.catchmentAreaKm2 !== undefined)
      say(
        [...path, 'catchmentAreaKm2'],
        "no area: it has a use for kind 'area-scaled' only",
        `${derived.catchmentAreaKm2}`,
      );
  }
  const travel = derived.travelHours;
  if (travel === undefined) return;
  if (travel.length !== derived.of.length)
    say([...path, 'travelHours'], `one number for each gauge of 'of' (${derived.of.length})`, `${travel.length}`);
  if (derived.kind !== 'area-scaled' && travel[0] !== 0)
    say([...path, 'travelHours', 0], '0, as travel times run to the first gauge', `${travel[0]}`);
}

/** `gauges[0].files[1]` of a path. */
export function jsonPath(path: readonly PropertyKey[]): string {
  return path
    .map((part, i) =>
      typeof part === 'number'
        ? `[${part}]`
        : /^[\w$-]+$/.test(String(part))
          ? `${i > 0 ? '.' : ''}${String(part)}`
          : `[${JSON.stringify(String(part))}]`,
    )
    .join('');
}
