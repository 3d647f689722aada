import { estimate, type CreekChart, type GaugeChart } from '../../chart/types.js';
import type { CreekGauges } from '../../chart/gauges/types.js';
import type { LoggerFit } from '../../fit/logger/types.js';
import type { LevelFit } from '../../fit/types.js';
import type { GaugeRanking } from '../../judge/gauges/types.js';
import type { CreekTrust, Judgement } from '../../judge/judgement.js';
import type { TrustSummary } from '../../judge/types.js';
import { counted, figures, share, withI80 } from '../../series/format.js';
import { unitLabel } from '../../series/units.js';
import { answerDocument, levelBlocks } from '../../tell/answerDocument.js';
import { heading, list, rows, says, type Block, type Document } from '../../tell/document.js';
import { gaugesDocument } from '../../tell/gaugesDocument.js';
import { table, text, type AnyTable, type Cell, type TidyTable } from '../../tell/table.js';
import { rankingTable } from '../../tell/tables/gaugeTables.js';
import { checksTable, comparedTable, gradeTable } from '../../tell/tables/trustTables.js';
import { shortTrust } from '../../tell/trustDocument.js';
import { table as rowsTable } from './table.js';

/** A data frame of danfojs, known by its shape: this file needs nothing of the library. */
export interface FrameLike {
  readonly columns: readonly string[];
  readonly values: readonly unknown[] | readonly (readonly unknown[])[];
}

/** Results that show themselves. */
export type Tabular =
  | Document
  | AnyTable
  | TidyLike
  | CreekChart
  | GaugeChart
  | LevelFit
  | LoggerFit
  | TrustSummary
  | Judgement
  | CreekTrust
  | JudgedLike
  | GaugeRanking
  | CreekGauges
  | FrameLike;

/** A JudgedCreek, or a chart and a trust file that were read back. */
export interface JudgedLike {
  readonly kind: 'judged-creek';
  readonly chart: CreekChart;
  readonly trust: CreekTrust;
}

/** A tidy table of `sightstage/frames`, whatever its rows. */
export type TidyLike = Pick<TidyTable, 'kind' | 'name'> & {
  readonly columns: Readonly<Record<string, string>>;
  readonly rows: readonly object[];
};

const KNOWN =
  'a figure, a table, a document, a chart, a fit, a judgement, a ranking of gauges, a trust summary, a data frame or a text';

/**
 * What a result says, as blocks: a chart by its answer and every gauge, a gauge by its level and checks, a fit at a glance, a judgement by
 * its sentences and checks, gauges by their ranking, a table and a data frame as they are.
 * @throws TypeError for a value that is none of these.
 */
export function blocksOf(thing: Tabular): readonly Block[] {
  // A frame answers to the names of its columns, one of which may be `kind`.
  if (isFrame(thing)) return [{ kind: 'table', table: frameTable(thing) }];
  if ('kind' in thing)
    switch (thing.kind) {
      case 'document':
        return [heading(2, thing.title), ...thing.body, ...list(thing.cautions)];
      case 'table':
        return [{ kind: 'table', table: thing }];
      case 'tidy-table':
        return [
          {
            kind: 'table',
            table: rowsTable(thing.name, thing.rows as readonly Readonly<Record<string, Cell>>[], {
              columns: Object.keys(thing.columns),
            }),
          },
        ];
      case 'creek-chart':
        return blocksOf(answerDocument({ chart: thing }));
      case 'judged-creek':
        return blocksOf(answerDocument(thing));
      case 'creek-trust':
        return [
          ...thing.runs.flatMap(({ name, gauges }) => [heading(3, name), ...rows(comparedTable(gauges))]),
          ...list(thing.cautions),
        ];
      case 'judgement':
        return [
          heading(3, `${thing.runName} by ${thing.gaugeName}: ${thing.grade}`),
          ...list([...shortTrust(thing), thing.shift.sentence, thing.suspects.sentence]),
          ...rows(checksTable(thing)),
        ];
      case 'gauge-ranking':
        return [...says(thing.choice.sentence), ...rows(rankingTable(thing)), ...list(thing.cautions)];
      case 'creek-gauges':
        return blocksOf(gaugesDocument(thing));
      case 'level-fit':
        return [{ kind: 'table', table: fitTable(thing) }];
      case 'logger-fit':
        return [{ kind: 'table', table: loggerFitTable(thing) }];
      default:
        throw new TypeError(`show: expected ${KNOWN}, found '${String((thing as { kind: unknown }).kind)}'`);
    }
  if ('trust' in thing && 'hydrograph' in thing)
    return [
      heading(3, `${thing.gauge.name}: ${thing.trust.grade}`),
      ...levelBlocks({ features: [] }, thing, 'both'),
      ...rows(gradeTable(thing.trust.grade, thing.trust.checks)),
    ];
  if ('grade' in thing && 'checks' in thing) return rows(gradeTable(thing.grade, thing.checks));
  throw new TypeError(`show: expected ${KNOWN}`);
}

export function isFrame(thing: Tabular): thing is FrameLike {
  return 'columns' in thing && 'values' in thing;
}

function frameTable({ columns, values }: FrameLike): AnyTable {
  const cells = values.map((row) => {
    const list: readonly unknown[] = Array.isArray(row) ? row : [row];
    return Object.fromEntries(columns.map((key, c) => [key, cellOf(list[c])]));
  });
  return rowsTable(counted(cells.length, 'row'), cells, { columns });
}

function cellOf(value: unknown): Cell {
  return typeof value === 'number' || typeof value === 'boolean'
    ? value
    : value === null || value === undefined
      ? null
      : String(value);
}

/** One row a quantity. */
function glance(name: string, quantities: readonly (readonly [string, string])[]): AnyTable {
  return table(
    'glance',
    name,
    quantities,
  )({
    quantity: text('quantity', 'What is told.', ([quantity]) => quantity),
    value: text('value', 'What it is.', ([, value]) => value),
  });
}

function fitTable(fit: LevelFit): AnyTable {
  const { draws, diagnostics } = fit;
  const of = (values: Float64Array) => (values.length === 0 ? 'none' : withI80(estimate(values)));
  return glance(`Fit of ${fit.run} to ${fit.gaugeName}`, [
    ['status', fit.statusSentence],
    ['visits, sightings, floods', `${fit.visits}, ${fit.sightings}, ${fit.floods}`],
    ['lag, h (80 %)', of(draws.lagHours)],
    ['storage, h (80 %)', of(draws.storageHours)],
    ['mismatch, ln units (80 %)', of(draws.mismatch)],
    ["observers' spread, ln units (80 %)", of(draws.observerSd)],
    ['limb term', fit.limbKept ? 'kept' : 'not needed'],
    ['grid points fitted', `${diagnostics.gridPointsFitted} of ${diagnostics.gridPoints}`],
    ['effective draws', `${Math.round(diagnostics.effectiveDraws)} of ${draws.count}`],
  ]);
}

function loggerFitTable(fit: LoggerFit): AnyTable {
  const { rating } = fit;
  const found: readonly (readonly [string, string])[] =
    fit.status !== 'converged'
      ? []
      : [
          ['hours that count for themselves', figures(fit.effectiveRows)],
          ['lag, h (80 %)', withI80(fit.lag)],
          ['storage, h (80 %)', withI80(fit.storage)],
          [
            'curve',
            rating.form === 'line' ? 'straight line in ln' : `power law, exponent ${figures(rating.exponent, 2)}`,
          ],
          ['explained', share(fit.explained)],
          [`levels around the curve, sd, ${unitLabel(fit.unit)}`, figures(fit.residualSd, 2)],
        ];
  return glance(`Logger ${fit.logger} explained by ${fit.gaugeName}`, [
    ['status', fit.statusSentence],
    ['hours, floods', `${fit.rows}, ${fit.floods}`],
    ...found,
  ]);
}
