/** The level model's special cases against R's `ordinal`: the cumulative link model, and the same with a random intercept. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createRandom } from '../src/kernel/random.js';
import { bareFit, type OrdinalTable } from '../tests/reference/ordinal/bareFit.js';
import { cpuSeconds } from './inChild.js';

const ROWS = 4000;
const GROUPS = 200;

interface Timed {
  readonly seconds: number;
  readonly logLik: number;
  readonly slope: number;
}

/** x, a group of 20 rows with an intercept of its own, and one of five classes. */
function inventedTable(): Required<Pick<OrdinalTable, 'classes' | 'saw' | 'x' | 'group'>> {
  const random = createRandom(5);
  const intercepts = Array.from({ length: GROUPS }, () => 0.7 * random.normal());
  const x = Array.from({ length: ROWS }, () => random.normal());
  const group = x.map((_, i) => i % GROUPS);
  const cuts = [-1.5, -0.3, 0.8, 1.9];
  const saw = x.map((v, i) => {
    const state = 1.2 * v + intercepts[group[i]!]! + random.normal();
    return cuts.filter((cut) => state > cut).length;
  });
  return { classes: 5, saw, x, group };
}

function timed(table: OrdinalTable): Timed {
  const { seconds, result } = cpuSeconds(() => bareFit(table, { link: 'probit' }));
  return { seconds, logLik: result.logLik, slope: result.coef[table.classes - 1]! };
}

function inR({ saw, x, group }: ReturnType<typeof inventedTable>): Record<'plain' | 'mixed', Timed> | undefined {
  const folder = mkdtempSync(join(tmpdir(), 'sightstage-bench-'));
  try {
    const path = join(folder, 'table.csv');
    writeFileSync(path, `class,x,group\n${saw.map((k, i) => `${k},${x[i]},${group[i]}`).join('\n')}\n`);
    const { status, stdout } = spawnSync('Rscript', [fileURLToPath(new URL('ordinal.R', import.meta.url)), path], {
      encoding: 'utf8',
    });
    return status === 0 ? (JSON.parse(stdout) as Record<'plain' | 'mixed', Timed>) : undefined;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Rows of the table: seconds of both, and how far log-likelihood and slope lie apart. */
export function timeOrdinal(): string[][] {
  const table = inventedTable();
  const plain = { ...table, group: undefined };
  const theirs = inR(table);
  return (['plain', 'mixed'] as const).map((kind) => {
    const job = `level model as cumulative probit, ${ROWS} rows${kind === 'plain' ? '' : `, random intercept of ${GROUPS} groups`}`;
    if (theirs === undefined) return [job, 'not measured: Rscript with `ordinal` and `jsonlite` is missing', ''];
    timed(kind === 'plain' ? plain : table);
    const ours = timed(kind === 'plain' ? plain : table);
    const r = theirs[kind];
    const apart = `ln L ${Math.abs(ours.logLik - r.logLik).toExponential(0)}, slope ${Math.abs(ours.slope / r.slope - 1).toExponential(0)} relative apart`;
    const ratio = `${ours.seconds.toFixed(2)} s, R ${r.seconds.toFixed(2)} s, ratio ${(ours.seconds / r.seconds).toFixed(2)}; ${apart}`;
    return [`${job}, against R \`${kind === 'plain' ? 'clm' : 'clmm'}\``, ratio, kind === 'mixed' ? 'below 1' : ''];
  });
}
