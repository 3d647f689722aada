import type { NamedFile } from '../../src/read/types.js';

/** A text as a file. */
export function textFile(name: string, text: string): NamedFile {
  return { name, bytes: new TextEncoder().encode(text) };
}

/** A creek.json as an object that tests may change: a fresh one each time. All names are invented. */
export function creekJson() {
  return {
    schema: 1 as unknown,
    name: 'Tamarock Creek' as unknown,
    timeZone: 'Europe/London' as unknown,
    runs: [
      {
        id: 'upper',
        name: 'Upper run',
        classes: ['too low', 'low', 'good', 'high', 'too high'],
        features: [
          {
            id: 'ledge',
            name: 'first ledge',
            kmFromPutIn: 0.3,
            classes: ['dry', 'trickle', 'covered', 'padded'],
            looks: { dry: 'bare rock' },
          },
          { id: 'staff', name: 'painted staff', unit: 'cm' },
        ],
      },
      {
        id: 'lower',
        name: 'Lower run',
        classes: ['low', 'good', 'high'],
        features: [{ id: 'pier', name: 'bridge pier', classes: ['foot dry', 'foot wet', 'under'] }],
      },
    ] as Record<string, unknown>[],
    gauges: [
      {
        id: 'big',
        name: 'Big river',
        parameter: 'discharge',
        unit: 'm3/s',
        files: ['gauges/big.csv'],
        format: 'delimited',
        columns: { time: 'time', value: 'value' },
        timeZone: 'UTC',
      },
    ] as Record<string, unknown>[],
  } as Record<string, unknown> & { runs: Record<string, unknown>[]; gauges: Record<string, unknown>[] };
}
