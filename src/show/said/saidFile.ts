import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { SAID_COLUMNS } from '../../read/readSaid.js';
import { rounded } from '../../series/format.js';
import type { NowResult } from '../cli/nowFolder.js';
import { errorCode } from '../write/fileOps.js';
import { writeFileSet } from '../write/writeFileSet.js';

export const SAID_FILE = 'said.csv';

/** Adds to said.csv what is said of each run that has odds. What was there before stays, byte for byte. */
export async function keepSaid(
  folder: string,
  { runs, arrivalMs }: Pick<NowResult, 'runs' | 'arrivalMs'>,
  { saidMs }: { saidMs: number },
): Promise<void> {
  const time = (ms: number) => new Date(ms).toISOString();
  const lines = runs.flatMap(({ run, gauge, now }) =>
    now === null || now.odds === null || gauge === null
      ? []
      : [
          [time(saidMs), time(arrivalMs), run.id, gauge.gauge.id, now.odds.map((p) => rounded(p, 4)).join(' ')].join(
            ',',
          ),
        ],
  );
  if (lines.length === 0) return;
  const before = textBefore(join(folder, SAID_FILE)) ?? `${SAID_COLUMNS.join(',')}\n`;
  const text = `${before}${before.endsWith('\n') ? '' : '\n'}${lines.join('\n')}\n`;
  await writeFileSet(folder, new Map([[SAID_FILE, text]]));
}

function textBefore(path: string): string | undefined {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return undefined;
    throw error;
  }
}
