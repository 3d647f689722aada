import { createHash } from 'node:crypto';
import { mkdir, readdir, readFile, rename, rm, stat, utimes, writeFile } from 'node:fs/promises';
import { homedir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { deserialize, serialize } from 'node:v8';
import { deepFreeze } from '../../chart/deepFreeze.js';
import type { CreekOptions, CreekResult } from '../../chart/chartCreek.js';
import type { CreekInput } from '../../read/types.js';

/** Results kept; those asked for longest ago go. One takes a few megabytes, and a club has a hundred creeks. */
const MOST_KEPT = 200;

/** Everything that a result depends on besides the files and the program. */
export type Asked = Omit<CreekOptions, 'runner' | 'onFirst' | 'onProgress' | 'signal'>;

/**
 * Where results are kept: `SIGHTSTAGE_CACHE`, or the user's own folder for such things. It may be deleted at any time.
 * @returns undefined where `SIGHTSTAGE_CACHE` is `off`.
 */
export function cacheFolder(env: NodeJS.ProcessEnv = process.env): string | undefined {
  if (env.SIGHTSTAGE_CACHE === 'off') return undefined;
  if (env.SIGHTSTAGE_CACHE) return env.SIGHTSTAGE_CACHE;
  return join(env.XDG_CACHE_HOME || env.LOCALAPPDATA || join(homedir(), '.cache'), 'sightstage');
}

/**
 * The result of the same files, options and program, if it is kept; else it is made, and kept. What can't be read or written is passed
 * over: a cache never stands in the way of an answer.
 *
 * @param asked.folder where results are kept; undefined: always made. @param asked.onKept told where a kept one is given.
 * @example cachedResult(input, { folder: cacheFolder(), options: { seed: 1 } }, () => chartCreek(input, { seed: 1 }))
 */
export async function cachedResult(
  input: Pick<CreekInput, 'files' | 'said'>,
  { folder, options, onKept }: { folder: string | undefined; options: Asked; onKept?: (() => void) | undefined },
  make: () => Promise<CreekResult>,
): Promise<CreekResult> {
  if (folder === undefined) return make();
  const path = join(folder, `${await keyOf(input, options)}.result`);
  const kept = await readKept(path);
  if (kept !== undefined) {
    const now = new Date();
    await utimes(path, now, now).catch(() => undefined);
    onKept?.();
    return kept;
  }
  const result = await make();
  await keep(path, result).catch(() => undefined);
  return result;
}

/** What an option left away means: a command that can't say it asks the same as one that says it. */
const DEFAULTS: Asked = { depth: 'full', leadHours: 0, link: 'probit', seed: 1 };

async function keyOf({ files, said }: Pick<CreekInput, 'files' | 'said'>, options: Asked): Promise<string> {
  const asked = Object.entries({ ...DEFAULTS, ...options })
    .filter(([, value]) => value !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1));
  return createHash('sha256')
    .update(JSON.stringify([process.version, asked, files, said]))
    .update(await (program ??= programHash()))
    .digest('hex');
}

/** A running program stays as it is. */
let program: Promise<string> | undefined;

/** The program's own files: a version number stays the same while it is worked on. */
async function programHash(): Promise<string> {
  const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
  const files = (await readdir(root, { recursive: true })).filter((name) => /\.[jt]s$/.test(name)).sort();
  const hash = createHash('sha256');
  for (const name of files) hash.update(name).update(await readFile(join(root, name)));
  return hash.digest('hex');
}

async function readKept(path: string): Promise<CreekResult | undefined> {
  try {
    const { result, sha256 } = deserialize(await readFile(path)) as { result: Buffer; sha256: string };
    return sha256 === sha256Of(result) ? deepFreeze(deserialize(result) as CreekResult) : undefined;
  } catch {
    return undefined;
  }
}

async function keep(path: string, result: CreekResult): Promise<void> {
  const folder = dirname(path);
  await mkdir(folder, { recursive: true });
  const bytes = serialize(result);
  const half = `${path}.${process.pid}`;
  await writeFile(half, serialize({ result: bytes, sha256: sha256Of(bytes) }));
  await rename(half, path);
  const names = (await readdir(folder)).filter((name) => name.endsWith('.result'));
  const aged = await Promise.all(names.map(async (name) => ({ name, at: (await stat(join(folder, name))).mtimeMs })));
  const old = aged.sort((a, b) => b.at - a.at).slice(MOST_KEPT);
  await Promise.all(old.map(({ name }) => rm(join(folder, name), { force: true })));
}

function sha256Of(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}
