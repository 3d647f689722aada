import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';

/** Texts of a creek folder by name relative to it. */
export type FolderTexts = ReadonlyMap<string, string>;

const START_MS = Date.UTC(2031, 2, 1);
const HOUR_MS = 3_600_000;
const HOURS = 24 * 100;
export const CLASSES = ['too low', 'low', 'good', 'high'];

/** Flow at an hour: a base and ten rises of different height, each with its recession; invented. */
export function flowAt(hour: number): number {
  const rises = [10, 26, 7, 18, 12, 30, 9, 22, 14, 34];
  return rises.reduce((flow, height, k) => {
    const since = hour - 40 - 230 * k;
    return since <= 0
      ? flow
      : flow + height * (since / 9) * Math.exp(1 - since / 9) + 0.3 * height * Math.exp(-since / 60);
  }, 3);
}

/** A time of the record, ISO with Z. */
export const timeAt = (hour: number) => `${new Date(START_MS + hour * HOUR_MS).toISOString().slice(0, 16)}Z`;

export const creekJson = () => ({
  schema: 1,
  name: 'Sorrel Creek',
  timeZone: 'America/St_Johns',
  lagHours: { min: 0, max: 3 },
  storageHours: { min: 0, max: 2 },
  runs: [
    {
      id: 'gorge',
      name: 'Sorrel gorge',
      classes: CLASSES,
      features: [{ id: 'ledge', name: 'Ledge', classes: ['dry', 'wet', 'gone'], looks: { dry: 'bare rock' } }],
    },
  ],
  gauges: [
    {
      id: 'river',
      name: 'Larger river',
      parameter: 'discharge',
      unit: 'm3/s',
      files: ['gauges/river.csv'],
      format: 'delimited',
      columns: { time: 'time', value: 'value' },
      timeZone: 'UTC',
      distanceKm: 4.5,
    },
  ],
});

/** A whole folder that charts in a second or two: an hourly record of 100 days and 40 visits that follow it, two hours late. */
export function smallCreek(): FolderTexts {
  const record = Array.from({ length: HOURS }, (_, hour) => `${timeAt(hour)},${flowAt(hour).toFixed(2)}`);
  const cuts = [4.5, 9, 17];
  const visits = Array.from({ length: 40 }, (_, i) => {
    const hour = 50 + 58 * i + ((7 * i * i) % 11);
    const level = flowAt(hour - 2) * (1 + 0.25 * Math.sin(12.9898 * (i + 1)));
    const run = CLASSES[cuts.filter((cut) => level > cut).length]!;
    const ledge = ['dry', 'wet', 'gone'][(level > 5 ? 1 : 0) + (level > 14 ? 1 : 0)]!;
    const who = ['Ana', 'Bo'][i % 2]!;
    return `v${i},${timeAt(hour)},,gorge,verdict,${run},${who},\nv${i},${timeAt(hour)},,gorge,ledge,${ledge},${who},`;
  });
  return new Map([
    ['creek.json', JSON.stringify(creekJson(), null, 2)],
    ['visits.csv', `visit,when,give_or_take_min,run,feature,saw,observer,note\n${visits.join('\n')}\n`],
    ['gauges/river.csv', `time,value\n${record.join('\n')}\n`],
  ]);
}

/** Writes the texts below a folder. */
export function writeFolder(folder: string, texts: FolderTexts): void {
  for (const [name, text] of texts) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), text);
  }
}
