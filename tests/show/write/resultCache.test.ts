import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { CreekResult } from '../../../src/chart/chartCreek.js';
import { cachedResult, cacheFolder } from '../../../src/show/write/resultCache.js';

const folder = mkdtempSync(join(tmpdir(), 'sightstage-kept-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const files = [{ name: 'visits.csv', sha256: 'a'.repeat(64), bytes: 12 }];
const made = (mark: number) =>
  ({ kind: 'judged-creek', chart: { mark, none: NaN, zero: -0 } }) as unknown as CreekResult;

/** What comes back, and whether it was kept or made. */
async function ask(of: { files?: typeof files; options?: { seed?: number; depth?: 'quick' | 'full' } }, mark: number) {
  let kept = false;
  const { options = { seed: 1 } } = of;
  const result = await cachedResult(
    { files: of.files ?? files },
    { folder, options, onKept: () => (kept = true) },
    async () => made(mark),
  );
  return { result, kept };
}

describe('cachedResult', () => {
  it('gives back what was made of the same files and options, number for number, and nothing else', async () => {
    expect(await ask({}, 1)).toEqual({ result: made(1), kept: false });
    const again = await ask({}, 2);
    expect(again).toEqual({ result: made(1), kept: true });
    expect(Object.is((again.result.chart as unknown as { zero: number }).zero, -0)).toBe(true);
    expect(Object.isFrozen(again.result.chart)).toBe(true);
    expect((await ask({ options: { seed: 1, depth: 'full' } }, 2)).kept).toBe(true);
    expect((await ask({ options: { seed: 2 } }, 3)).kept).toBe(false);
    expect((await ask({ options: { depth: 'quick', seed: 1 } }, 4)).kept).toBe(false);
    expect((await ask({ options: { seed: 1, depth: 'quick' } }, 5)).kept).toBe(true);
    expect((await ask({ files: [{ ...files[0]!, sha256: 'b'.repeat(64) }] }, 6)).kept).toBe(false);
  });

  it('makes anew what a damaged file can’t give back, and mends it', async () => {
    for (const name of readdirSync(folder)) {
      const bytes = readFileSync(join(folder, name));
      bytes[bytes.length >> 1]! ^= 255;
      writeFileSync(join(folder, name), bytes);
    }
    expect(await ask({}, 7)).toEqual({ result: made(7), kept: false });
    expect(await ask({}, 8)).toEqual({ result: made(7), kept: true });
  });

  it('keeps two hundred and no half-written file; what was asked for longest ago goes first', async () => {
    for (let seed = 10; seed < 210; seed++) await ask({ options: { seed } }, seed);
    // A file system may tell times no finer than this.
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect((await ask({ options: { seed: 10 } }, 0)).kept).toBe(true);
    for (let seed = 210; seed < 220; seed++) await ask({ options: { seed } }, seed);
    expect(readdirSync(folder)).toHaveLength(200);
    expect((await ask({ options: { seed: 10 } }, 0)).kept).toBe(true);
    expect((await ask({ options: { seed: 11 } }, 0)).kept).toBe(false);
  });

  it('never stands in the way: without a folder, or where it can’t be written, everything is made', async () => {
    const blocked = join(folder, readdirSync(folder)[0]!, 'below-a-file');
    const options = { seed: 1 };
    expect(await cachedResult({ files }, { folder: blocked, options }, async () => made(1))).toEqual(made(1));
    expect(await cachedResult({ files }, { folder: undefined, options }, async () => made(2))).toEqual(made(2));
    await expect(
      cachedResult({ files }, { folder, options: { seed: 999 } }, () => Promise.reject(new Error('no fit'))),
    ).rejects.toThrow('no fit');
  });
});

describe('cacheFolder', () => {
  it('is the one asked for, the user’s own, or none', () => {
    expect(cacheFolder({ SIGHTSTAGE_CACHE: '/x' })).toBe('/x');
    expect(cacheFolder({ SIGHTSTAGE_CACHE: 'off', XDG_CACHE_HOME: '/y' })).toBeUndefined();
    expect(cacheFolder({ XDG_CACHE_HOME: '/y' })).toBe(join('/y', 'sightstage'));
  });
});
