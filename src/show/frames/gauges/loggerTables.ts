import type { CreekGauges, LoggerGauge, LoggerReport, RunGauges } from '../../../chart/gauges/types.js';
import type { Estimate } from '../../../chart/types.js';
import type { TidyTable } from '../tidyTable.js';
import { ESTIMATE, estimateCells, runsTable, type EstimateCells, type RunKey } from './gaugeRows.js';
import { nearestIndex } from './nearestIndex.js';

/** Which logger a row is of, and by which gauge. */
export interface LoggerKey {
  readonly logger: string;
  readonly gauge: string;
}

const LOGGER_KEY = { logger: 'text', gauge: 'text' } as const;

export interface LoggerRow extends LoggerKey {
  readonly name: string;
  readonly gaugeName: string;
  readonly unit: string;
  readonly kmFromPutIn: number | null;
  /** UTC, ISO 8601; null where the file could not be read. */
  readonly from: string | null;
  readonly to: string | null;
  readonly status: string;
  readonly lagHours: number | null;
  readonly lagLow80: number | null;
  readonly lagHigh80: number | null;
  readonly storageHours: number | null;
  readonly storageLow80: number | null;
  readonly storageHigh80: number | null;
  /** `power` or `line`; null without a fit. */
  readonly form: string | null;
  /** Share of the variance of the levels. */
  readonly explained: number | null;
  /** In the logger's unit. */
  readonly residualSd: number | null;
  readonly floods: number;
  readonly rows: number;
  /** Rows of as much weight that were independent. */
  readonly effectiveRows: number | null;
  /** Why it has no say in the visits' lag; null where it may. */
  readonly doubt: string | null;
  readonly sentence: string;
}

/** Every logger by every gauge, one row a pair. */
export function loggersTable(gauges: CreekGauges): TidyTable<RunKey & LoggerRow> {
  return runsTable<LoggerRow>(
    'loggers',
    {
      ...LOGGER_KEY,
      name: 'text',
      gaugeName: 'text',
      unit: 'text',
      kmFromPutIn: 'number',
      from: 'text',
      to: 'text',
      status: 'text',
      lagHours: 'number',
      lagLow80: 'number',
      lagHigh80: 'number',
      storageHours: 'number',
      storageLow80: 'number',
      storageHigh80: 'number',
      form: 'text',
      explained: 'number',
      residualSd: 'number',
      floods: 'number',
      rows: 'number',
      effectiveRows: 'number',
      doubt: 'text',
      sentence: 'text',
    },
    {
      gauges,
      rows: (run) =>
        pairsOf(run).map(({ logger, by }) => ({
          logger: logger.id,
          gauge: by.gauge,
          name: logger.name,
          gaugeName: by.gaugeName,
          unit: logger.unit,
          kmFromPutIn: logger.kmFromPutIn,
          from: isoOrNull(logger.fromMs),
          to: isoOrNull(logger.toMs),
          status: by.status,
          lagHours: by.lag?.median ?? null,
          lagLow80: by.lag?.i80[0] ?? null,
          lagHigh80: by.lag?.i80[1] ?? null,
          storageHours: by.storage?.median ?? null,
          storageLow80: by.storage?.i80[0] ?? null,
          storageHigh80: by.storage?.i80[1] ?? null,
          form: by.form,
          explained: by.explained,
          residualSd: by.residualSd,
          floods: by.floods,
          rows: by.rows,
          effectiveRows: by.effectiveRows,
          doubt: by.doubt,
          sentence: by.sentence,
        })),
    },
  );
}

export interface LoggerEstimateRow extends LoggerKey, EstimateCells {
  /** `lag` or `storage`, hours. */
  readonly quantity: string;
  /** `logger`: from its levels alone; `visits`: from the visits alone; `both`. */
  readonly from: string;
}

/** Lag and storage as the logger has them, as the visits have them, and from both: one row each. */
export function loggerEstimatesTable(gauges: CreekGauges): TidyTable<RunKey & LoggerEstimateRow> {
  return runsTable<LoggerEstimateRow>(
    'logger estimates',
    { ...LOGGER_KEY, quantity: 'text', from: 'text', ...ESTIMATE },
    {
      gauges,
      rows: (run) =>
        pairsOf(run).flatMap(({ logger, by }) => {
          const row = (quantity: string, from: string, estimate: Estimate | null | undefined) =>
            estimate === null || estimate === undefined
              ? []
              : [{ logger: logger.id, gauge: by.gauge, quantity, from, ...estimateCells(estimate) }];
          return [
            ...row('lag', 'logger', by.lag),
            ...row('lag', 'visits', by.withVisits?.lagAlone),
            ...row('lag', 'both', by.withVisits?.lagWith),
            ...row('storage', 'logger', by.storage),
            ...row('storage', 'visits', by.withVisits?.storageAlone),
            ...row('storage', 'both', by.withVisits?.storageWith),
          ];
        }),
    },
  );
}

export interface LoggerLevelRow extends LoggerKey {
  /** UTC, ISO 8601. */
  readonly time: string;
  readonly unit: string;
  /** What the logger showed, and what the gauge makes of it; null in a gap. */
  readonly seen: number | null;
  readonly expected: number | null;
  readonly low80: number | null;
  readonly high80: number | null;
}

/** The logger's levels beside those that the gauge makes of it, thinned, in the logger's unit. */
export function loggerLevelsTable(gauges: CreekGauges): TidyTable<RunKey & LoggerLevelRow> {
  return runsTable<LoggerLevelRow>(
    'logger levels',
    {
      ...LOGGER_KEY,
      time: 'text',
      unit: 'text',
      seen: 'number',
      expected: 'number',
      low80: 'number',
      high80: 'number',
    },
    {
      gauges,
      rows: (run) =>
        pairsOf(run).flatMap(({ logger, by: { gauge, levels } }) =>
          (levels?.timesMs ?? []).map((timeMs, i) => ({
            logger: logger.id,
            gauge,
            time: new Date(timeMs).toISOString(),
            unit: logger.unit,
            seen: levels!.seen[i]!,
            expected: levels!.expected[i]!,
            low80: levels!.low80[i]!,
            high80: levels!.high80[i]!,
          })),
        ),
    },
  );
}

export interface CcfRow extends LoggerKey {
  /** Positive: the gauge leads. */
  readonly lagHours: number;
  readonly correlation: number | null;
  /** Two unrelated rivers of the same memory stay within ± this in 95 of 100 lags. */
  readonly band: number;
  /** The lag nearest to the peak, which lies between the lags that were tried. */
  readonly peak: boolean;
}

/** Cross-correlation of the changes of gauge and logger, one row a lag. */
export function ccfTable(gauges: CreekGauges): TidyTable<RunKey & CcfRow> {
  return runsTable<CcfRow>(
    'ccf',
    { ...LOGGER_KEY, lagHours: 'number', correlation: 'number', band: 'number', peak: 'truth' },
    {
      gauges,
      rows: (run) =>
        pairsOf(run).flatMap(({ logger, by: { gauge, ccf } }) => {
          if (ccf === null) return [];
          const peak = nearestIndex(ccf.lagsHours, ccf.peakLagHours);
          return ccf.lagsHours.map((lagHours, i) => ({
            logger: logger.id,
            gauge,
            lagHours,
            correlation: ccf.correlation[i]!,
            band: ccf.band,
            peak: i === peak,
          }));
        }),
    },
  );
}

function pairsOf({ loggers }: RunGauges): readonly { readonly logger: LoggerReport; readonly by: LoggerGauge }[] {
  return loggers.flatMap((logger) => logger.gauges.map((by) => ({ logger, by })));
}

function isoOrNull(timeMs: number | null): string | null {
  return timeMs === null ? null : new Date(timeMs).toISOString();
}
