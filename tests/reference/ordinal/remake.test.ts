import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { expectClose } from '../../expectClose.js';
import { loadCheck, type ReferenceFit } from './cases.js';

/*
 * Runs make.R where R and its packages ordinal, MASS and jsonlite are installed, and holds the committed reference values to
 * it. Elsewhere it is skipped with a word on the console, unless SIGHTSTAGE_REQUIRE_TOOLS=1 turns the skip into a failure.
 */
const run = (args: string[]): { status: number | null; stdout: string; stderr: string } =>
  spawnSync('Rscript', args, { encoding: 'utf8', maxBuffer: 2 ** 24, timeout: 600_000 });
const probe = run(['-e', 'for (p in c("ordinal", "MASS", "jsonlite")) library(p, character.only = TRUE)']);
const missing =
  probe.status === 0 ? undefined : 'Rscript with the packages ordinal, MASS and jsonlite is not installed';
const required = process.env.SIGHTSTAGE_REQUIRE_TOOLS === '1';
if (missing !== undefined && !required) process.stdout.write(`skipped: reference values not made again: ${missing}\n`);

type Remade = Record<string, Record<string, ReferenceFit & { sd?: number; ranef?: number[] }>>;

/** A committed fit: polr keeps thresholds apart and a deviance in place of the log-likelihood. */
interface Committed extends Partial<ReferenceFit> {
  readonly zeta?: Record<string, number>;
  readonly deviance?: number;
  readonly sd_judge?: number;
  readonly sd_obs?: number;
  readonly ranef?: number[];
}

describe.skipIf(missing !== undefined && !required)('make.R', () => {
  it('makes the committed reference values again', { timeout: 600_000 }, () => {
    expect(missing).toBeUndefined();
    const { status, stdout, stderr } = run([fileURLToPath(new URL('make.R', import.meta.url))]);
    expect(status, stderr).toBe(0);
    const { 'ord-wine-loocv': leftOut, ...remade } = JSON.parse(stdout) as Remade & {
      'ord-wine-loocv': { prob: number[][] };
    };
    expect(Object.keys(remade)).toHaveLength(9);
    for (const [id, fits] of Object.entries(remade)) {
      const { expected } = loadCheck<unknown, Committed & Record<string, Committed>>(id);
      for (const [key, fit] of Object.entries(fits))
        compare(`${id} ${key}`, fit, expected.coef ? expected : expected[key]);
    }
    const { expected } = loadCheck<unknown, { prob: number[][] }>('ord-wine-loocv');
    expected.prob.forEach((row, i) =>
      row.forEach((p, k) => expectClose(leftOut.prob[i][k], p, { abs: 1e-6, why: `ord-wine-loocv row ${i + 1}` })),
    );
  });
});

/** Tolerances leave room for another version of R's optimisers; on the version of the files the two agree to 1e-7. */
function compare(what: string, made: ReferenceFit & { sd?: number; ranef?: number[] }, committed: Committed): void {
  const coef = { ...committed.coef, ...committed.zeta };
  expect(Object.keys(made.coef).sort(), what).toEqual(Object.keys(coef).sort());
  for (const [name, value] of Object.entries(coef)) {
    expectClose(made.coef[name], value, { rel: 1e-5, abs: 1e-6, why: `${what} ${name}` });
    expectClose(made.se![name], committed.se![name], { rel: 1e-3, why: `${what} s.e. of ${name}` });
  }
  expectClose(made.logLik, committed.logLik ?? -committed.deviance! / 2, { abs: 1e-5, why: `${what} log-likelihood` });
  const sd = committed.sd_judge ?? committed.sd_obs;
  expect(made.sd === undefined, `${what}: a standard deviation where there is one`).toBe(sd === undefined);
  if (sd !== undefined) expectClose(made.sd!, sd, { rel: 1e-4, why: `${what} standard deviation` });
  committed.ranef?.forEach((u, g) => expectClose(made.ranef![g], u, { abs: 1e-4, why: `${what} mode ${g + 1}` }));
}
