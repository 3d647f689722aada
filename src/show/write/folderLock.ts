import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { errorCode, type FileOps } from './fileOps.js';
import { isGone, whoseMark } from './processMark.js';

/** What renaming a folder onto one that holds something ends with, by system. */
const TAKEN = new Set(['ENOTEMPTY', 'EEXIST', 'EPERM', 'EACCES']);

export interface LockOptions {
  readonly fs: FileOps;
  /** Name of this process and write, from `processMark`. */
  readonly mark: string;
  /** A folder of our own on the same disk, for the pieces of the lock. */
  readonly scratch: string;
  readonly waitMs?: number;
}

/**
 * Takes the lock `name` of a folder: a folder with one file named by the holder, put in place by one rename, so that it is
 * never seen half made. The lock of a killed process is taken over; a living one is waited for.
 * @returns a function that gives the lock back
 * @throws Error when a living process keeps it longer than `waitMs` (default 10 s), naming the lock
 */
export async function takeLock(folder: string, name: string, options: LockOptions): Promise<() => Promise<void>> {
  const { fs, mark, scratch, waitMs = 10_000 } = options;
  const lock = join(folder, name);
  const until = performance.now() + waitMs;
  const discard = async () => {
    // Out of the way by one rename first: a lock emptied in place could be taken by somebody else in between.
    const gone = join(scratch, randomUUID());
    // A second try for a hiccup: the lock of a program that lives on would shut everybody out.
    await fs.rename(lock, gone).catch(() => fs.rename(lock, gone));
    await fs.remove(gone);
  };
  for (;;) {
    if (await put(lock, { fs, mark, scratch })) return discard;
    const holder = await holderOf(lock, fs);
    if (holder !== undefined && isGone(holder.mark, holder.touchedMs)) {
      // Two that find the same dead holder must not both remove its lock: the second would remove the first one's new lock.
      const release = await takeLock(folder, `${name}-${holder.mark.slice(-36)}`, options);
      try {
        if ((await holderOf(lock, fs))?.mark === holder.mark) await discard();
      } finally {
        await release();
      }
      continue;
    }
    if (performance.now() > until)
      throw new Error(
        `another run (${holder === undefined ? 'unknown' : whoseMark(holder.mark)}) is writing there; if there is none, delete ${lock}`,
      );
    await sleep(10);
  }
}

async function put(lock: string, { fs, mark, scratch }: LockOptions): Promise<boolean> {
  const candidate = join(scratch, randomUUID());
  await fs.mkdir(candidate);
  await fs.writeNew(join(candidate, mark), '');
  try {
    await fs.rename(candidate, lock);
    return true;
  } catch (error) {
    await fs.remove(candidate);
    if (TAKEN.has(errorCode(error)) && (await holderOf(lock, fs)) !== undefined) return false;
    // Given back between the two calls: the next round gets it. Anything else is the file system's word.
    if (errorCode(error) === 'ENOTEMPTY' || errorCode(error) === 'EEXIST') return false;
    throw error;
  }
}

async function holderOf(lock: string, fs: FileOps): Promise<{ mark: string; touchedMs: number } | undefined> {
  try {
    const [mark] = await fs.readdir(lock);
    return mark === undefined ? undefined : { mark, touchedMs: (await fs.lstat(lock)).mtimeMs };
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return undefined;
    throw error;
  }
}
