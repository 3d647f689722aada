import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { loadCreekFolder } from '../../src/show/creekFolder.js';
import { readLater } from './readLater.js';
import { readTruth } from './readTruth.js';
import { validateGauge, type GaugeValidation } from './validateGauge.js';

/** A folder with its input files by digest, and every run and gauge of it that has a truth. */
export interface FolderValidation {
  readonly files: readonly { readonly name: string; readonly sha256: string }[];
  readonly gauges: readonly GaugeValidation[];
}

/**
 * Charts every gauge of a creek's folder and holds the charts against its truth.json and, where there is one, the later record.
 *
 * @param options.gauges ids to look at; default all. options.onGauge is told what comes next.
 * @throws RangeError when creek.json can't be used; ENOENT without a truth.json.
 */
export function validateFolder(
  folder: string,
  {
    seed = 1,
    draws = 1000,
    gauges,
    cheap = false,
    onGauge,
  }: {
    seed?: number;
    draws?: number;
    gauges?: readonly string[];
    /** For tests: floods left out by weights, and no later days for a gauge that is refused. */
    cheap?: boolean;
    onGauge?: (label: string) => void;
  } = {},
): FolderValidation {
  const input = loadCreekFolder(folder);
  const { creek } = input;
  if (creek === undefined) throw new RangeError(`validate: ${join(folder, 'creek.json')} can't be used`);
  const out: GaugeValidation[] = [];
  for (const known of readTruth(readFileSync(join(folder, 'truth.json'), 'utf8'), creek.runs[0].id)) {
    const run = creek.runs.find((r) => r.id === known.run);
    if (run === undefined) throw new RangeError(`validate: truth.json names run "${known.run}", creek.json does not`);
    const laterPath = join(folder, known.laterFile);
    const later = existsSync(laterPath) ? readLater(readFileSync(laterPath, 'utf8'), run.classes) : undefined;
    for (const record of input.records) {
      const truth = known.gauges[record.gauge];
      if (truth === undefined || !(gauges?.includes(record.gauge) ?? true)) continue;
      onGauge?.(`${run.id} by ${record.gauge}`);
      out.push(validateGauge({ input, creek, run, record }, { truth, later, seed, draws, cheap }));
    }
  }
  return { files: input.files.map(({ name, sha256 }) => ({ name, sha256 })), gauges: out };
}
