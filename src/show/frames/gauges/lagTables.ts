import type { CreekGauges } from '../../../chart/gauges/types.js';
import type { TidyTable } from '../tidyTable.js';
import { runsTable, type RunKey } from './gaugeRows.js';

export interface LagRow {
  readonly gauge: string;
  readonly gaugeName: string;
  /** Along the water; null where creek.json does not say. */
  readonly lengthKm: number | null;
  readonly lies: string | null;
  /** Fastest and probable, hours. */
  readonly tracerFrom: number | null;
  readonly tracerTo: number | null;
  readonly waveFrom: number | null;
  readonly waveTo: number | null;
  /** Whether the lag found goes with that. */
  readonly lagGoes: boolean | null;
  readonly travelSentence: string | null;
  /** Visits behind the question whether the lag shortens as the flow grows; null where it was not asked. */
  readonly visits: number | null;
  readonly flowAt: number | null;
  readonly unit: string | null;
  /** The lag at `flowAt`, and the exponent m of (flow / flowAt)^-m. */
  readonly lagHours: number | null;
  readonly lagLow80: number | null;
  readonly lagHigh80: number | null;
  readonly exponent: number | null;
  readonly exponentLow80: number | null;
  readonly exponentHigh80: number | null;
  readonly logBayesFactor: number | null;
  readonly kept: boolean | null;
  readonly flowSentence: string | null;
}

/** The lag in depth: what the distance says of it, and whether it shortens as the flow grows. One row a run and gauge. */
export function lagsTable(gauges: CreekGauges): TidyTable<RunKey & LagRow> {
  return runsTable<LagRow>(
    'lags',
    {
      gauge: 'text',
      gaugeName: 'text',
      lengthKm: 'number',
      lies: 'text',
      tracerFrom: 'number',
      tracerTo: 'number',
      waveFrom: 'number',
      waveTo: 'number',
      lagGoes: 'truth',
      travelSentence: 'text',
      visits: 'number',
      flowAt: 'number',
      unit: 'text',
      lagHours: 'number',
      lagLow80: 'number',
      lagHigh80: 'number',
      exponent: 'number',
      exponentLow80: 'number',
      exponentHigh80: 'number',
      logBayesFactor: 'number',
      kept: 'truth',
      flowSentence: 'text',
    },
    {
      gauges,
      rows: ({ lags }) =>
        lags.map(({ gauge, gaugeName, travel, flow }) => ({
          gauge,
          gaugeName,
          lengthKm: travel?.lengthKm ?? null,
          lies: travel?.lies ?? null,
          tracerFrom: travel?.tracerHours[0] ?? null,
          tracerTo: travel?.tracerHours[1] ?? null,
          waveFrom: travel?.waveHours[0] ?? null,
          waveTo: travel?.waveHours[1] ?? null,
          lagGoes: travel?.lagGoes ?? null,
          travelSentence: travel?.sentence ?? null,
          visits: flow?.visits ?? null,
          flowAt: flow?.flowAt ?? null,
          unit: flow?.unit ?? null,
          lagHours: flow?.lag.median ?? null,
          lagLow80: flow?.lag.i80[0] ?? null,
          lagHigh80: flow?.lag.i80[1] ?? null,
          exponent: flow?.exponent.median ?? null,
          exponentLow80: flow?.exponent.i80[0] ?? null,
          exponentHigh80: flow?.exponent.i80[1] ?? null,
          logBayesFactor: flow?.logBayesFactor ?? null,
          kept: flow?.kept ?? null,
          flowSentence: flow?.sentence ?? null,
        })),
    },
  );
}
