import { oddsNow } from '../../chart/day/oddsNow.js';
import { outlook } from '../../chart/day/outlook.js';
import { seasonOf } from '../../chart/day/season.js';
import type { GaugeChart, RunChart } from '../../chart/types.js';
import { deriveRecord } from '../../read/deriveRecord.js';
import type { CreekInput } from '../../read/types.js';
import type { Creek, DerivedGauge } from '../../series/creek.js';
import { known } from '../../series/knownIds.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { readTime, zoneClock } from '../../series/time.js';
import type { RunNow } from '../../tell/nowDocument.js';
import { readChart } from '../card/readChart.js';
import { loadCreekFolder } from '../creekFolder.js';
import { WrongUse } from './exitCodes.js';

const HOUR = 3_600_000;

export interface NowOptions {
  /** Where the chart was written; default 'out'. */
  readonly out?: string;
  /** By the creek's own clock, or with an offset; default the present. */
  readonly arrive?: string;
  /** The present, UTC ms, for readings given without a time. */
  readonly presentMs: number;
  /** `<gauge>=<value>` or `<gauge>=<value>@<time>`, in the gauge's unit. */
  readonly readings?: readonly string[];
  readonly runs?: readonly string[];
  /** The log may be newer than the chart. */
  readonly newVisits?: boolean;
}

/** What `sightstage now` says of a creek folder: the answer of every run for one time of arrival. */
export interface NowResult {
  readonly kind: 'now';
  readonly creek: { readonly name: string; readonly timeZone: string };
  readonly arrivalMs: number;
  readonly runs: readonly RunNow[];
  readonly cautions: readonly string[];
}

/**
 * Is it on: the chart made last, with the newest readings of the folder's gauges and those given by hand. Fits nothing and writes nothing.
 * @throws WrongUse where there is no chart of the folder as it is, for a run or gauge that it does not have, and for a reading or a time
 * that can't be read
 * @example nowFolder('my-creek', { presentMs: Date.now(), readings: ['weir=5.2'] })
 */
export function nowFolder(
  folder: string,
  { out, arrive, presentMs, readings = [], runs, newVisits = false }: NowOptions,
): NowResult {
  const { chart } = readChart(folder, { ...(out !== undefined && { out }), newReadings: true, newVisits });
  const { creek, records, forecasts } = loadCreekFolder(folder);
  if (creek === undefined) throw new WrongUse(`creek.json can't be read; see: sightstage check ${folder}`);
  try {
    runs?.forEach((id) => known('run', id, { among: chart.runs }));
  } catch (error) {
    throw new WrongUse((error as Error).message);
  }
  const arrivalMs = arrive === undefined ? presentMs : timeOf(arrive, creek.timeZone);
  const own = creek.gauges.flatMap(({ id }) => records.filter(({ gauge }) => gauge === id));
  const typed = readings.map((text) => typedReading(text, { creek, presentMs }));
  const stations = own.map((record) =>
    withReadings(
      record,
      typed.filter(({ gauge }) => gauge === record.gauge),
    ),
  );
  return {
    kind: 'now',
    creek: { name: creek.name, timeZone: creek.timeZone },
    arrivalMs,
    runs: chart.runs
      .filter(({ id }) => runs?.includes(id) ?? true)
      .map((run) => runNow(run, { creek, stations, arrivalMs, forecasts })),
    cautions: chart.cautions,
  };
}

function runNow(
  run: RunChart,
  {
    creek,
    stations,
    arrivalMs,
    forecasts,
  }: Pick<CreekInput, 'forecasts'> & { creek: Creek; stations: readonly GaugeRecord[]; arrivalMs: number },
): RunNow {
  const gauge = run.gauges.find((one) => one.gauge.id === run.recommended) ?? null;
  const record = gauge === null ? undefined : recordOf(gauge, { creek, stations });
  const named = { id: run.id, name: run.name };
  if (gauge?.level === undefined || record === undefined)
    return { run: named, gauge: null, now: null, outlook: null, season: null };
  const official = (forecasts?.get(gauge.gauge.id) ?? []).filter(({ issuedMs }) => issuedMs <= arrivalMs);
  const now = oddsNow(gauge.level, record, { arrivalMs, forecasts: official });
  return {
    run: named,
    gauge,
    now,
    outlook:
      now.odds === null || now.newest === null
        ? null
        : outlook(gauge.level, record, { nowMs: now.newest.timeMs, forecasts: official }),
    season: seasonOf(gauge.level, record, creek),
  };
}

/** The record of a gauge, derived anew from its parts where it is made of several. */
function recordOf(
  { gauge }: GaugeChart,
  { creek, stations }: { creek: Creek; stations: readonly GaugeRecord[] },
): GaugeRecord | undefined {
  const derived = creek.derivedGauges?.find(({ id }) => id === gauge.id) ?? meanOf(gauge);
  return derived === undefined
    ? stations.find((record) => record.gauge === gauge.id)
    : deriveRecord(derived, stations).record;
}

/** A combined gauge is found and not written in creek.json; its chart says what it is made of. */
function meanOf({ id, name, parts }: GaugeChart['gauge']): DerivedGauge | undefined {
  if (parts === undefined) return undefined;
  return {
    id,
    name,
    kind: 'mean',
    of: parts.of.map(({ gauge }) => gauge),
    weights: parts.of.map(({ factor }) => factor),
    travelHours: parts.of.map(({ hoursEarlier }) => hoursEarlier),
  };
}

interface TypedReading {
  readonly gauge: string;
  readonly timeMs: number;
  readonly value: number;
}

function typedReading(text: string, { creek, presentMs }: { creek: Creek; presentMs: number }): TypedReading {
  const [, gauge = '', number = '', when] = /^([^=]+)=([^@]+)(?:@(.+))?$/.exec(text) ?? [];
  const value = Number(number);
  const ids = creek.gauges.map(({ id }) => id);
  if (!ids.includes(gauge) || number.trim() === '' || !Number.isFinite(value))
    throw new WrongUse(
      `--reading: found '${text}', expected <gauge>=<number> or <gauge>=<number>@<time>, with a gauge of ${ids.join(', ')}`,
    );
  return { gauge, value, timeMs: when === undefined ? presentMs : timeOf(when, creek.timeZone) };
}

/** A time as written on the command line, local to the creek unless it says otherwise. @throws WrongUse */
function timeOf(text: string, timeZone: string): number {
  const read = readTime(text, zoneClock(timeZone));
  if (read.kind !== 'exact' && read.kind !== 'ambiguous')
    throw new WrongUse(
      `found '${text}', expected a time such as 2031-05-04T10:00 (the creek's own clock, ${timeZone})`,
    );
  return read.timeMs;
}

/** A record with readings put in; one at a time that has a reading already takes its place. */
function withReadings(record: GaugeRecord, typed: readonly TypedReading[]): GaugeRecord {
  if (typed.length === 0) return record;
  const values = new Map(Array.from(record.timesMs, (timeMs, i) => [timeMs, record.values[i]!]));
  for (const { timeMs, value } of typed) values.set(timeMs, value);
  const rows = [...values].sort(([a], [b]) => a - b);
  return {
    ...record,
    timesMs: Float64Array.from(rows, ([timeMs]) => timeMs),
    values: Float64Array.from(rows, ([, value]) => value),
    // Somebody who reads a gauge by hand may well stand further apart than a sensor.
    maxGapMs: Math.max(record.maxGapMs, 6 * HOUR),
  };
}
